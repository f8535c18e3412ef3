// Where a session stands, kept in this tab: loading the page anew goes on from there.
import type { Run } from './steps';

/** since: when the item began, for takes; open: the session was on the screen. */
export type Memory = Run & { date: string; since: string; open: boolean };

const key = (part: string, player: string): string => `practice-${part}-${player}`;

export function recall(part: string, player: string, date: string): Memory | null {
  try {
    const m = JSON.parse(sessionStorage.getItem(key(part, player)) ?? 'null') as Memory | null;
    return m && m.date === date ? m : null;
  } catch {
    return null; // storage refused, or not ours
  }
}

export function remember(part: string, player: string, m: Memory): void {
  try {
    sessionStorage.setItem(key(part, player), JSON.stringify(m));
  } catch {
    // storage refused: nothing is kept
  }
}
