// Where the players stand: how many takes, what is chosen, what is due next.
import type { Season, TakeCard } from '../lib/api';
import { count, day, wall } from '../takes/words';

/** The takes of one part for one player in a few words. Takes come newest first. */
export function standing(takes: readonly TakeCard[]): { many: string; newest: string; first: string } {
  const [newest] = takes, chosen = takes.find((t) => t.chosen);
  const on = (t: TakeCard) => day(wall(t.recorded).date);
  if (!newest) return { many: 'No take yet', newest: '', first: '' };
  const sends = chosen === newest ? ', which is chosen' : chosen ? `; chosen is that of ${on(chosen)}` : '';
  return { many: count(takes.length, 'take'), newest: `the newest of ${on(newest)}${sends}`, first: advice(newest) };
}

/** What to do first about a take; why it was not measured; or that it is still measured. */
export function advice(t: TakeCard): string {
  if (t.state === 'failed') return t.reason ?? '';
  if (!t.measured) return 'It is being measured.';
  return t.measured.summary.first ?? 'Nothing to remark.';
}

/** The part that a player has to record next: the earliest day to come for which no take is chosen, of the parts that the player works on; of all before any is. */
export function nextDue(season: Season, takes: readonly TakeCard[], player: string, today: string): { title: string; due: string } | null {
  const own = new Map((season.assignments ?? []).filter((a) => a.player === player).map((a) => [a.part, a]));
  const played = takes.filter((t) => t.player === player);
  const works = (part: string) => own.has(part) || played.some((t) => t.part === part);
  const begun = (season.parts ?? []).some((p) => works(p.id));
  const open = (season.parts ?? [])
    .filter((p) => (!begun || works(p.id)) && !played.some((t) => t.part === p.id && t.chosen))
    .map((p) => ({ title: p.title, due: own.get(p.id)?.due || p.due || '' }))
    .filter((p) => p.due >= today && p.due !== '');
  return open.toSorted((a, b) => a.due.localeCompare(b.due))[0] ?? null;
}

/** Today where this machine is, as 2026-11-25. */
export const today = (now = new Date()): string =>
  [now.getFullYear(), String(now.getMonth() + 1).padStart(2, '0'), String(now.getDate()).padStart(2, '0')].join('-');
