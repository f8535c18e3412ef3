// The lane of breaths: where one was taken, and which the page wanted.
import { comma } from '../../lib/score/draw';
import { path, text, type Ground, type Shape } from './shape';

export const breathHeight = 24;

/** taken: breath went in, or there was silence enough for it; heard: air is heard. */
export type Taken = { x: number; wanted: boolean; taken: boolean; heard: boolean; after: string };

export function breathLane(all: readonly Taken[], { top, u }: Pick<Ground, 'top' | 'u'>): Shape[] {
  return all.flatMap((b) => {
    const name = b.taken ? (b.heard ? 'taken' : 'taken quiet') : 'taken none';
    const out = [path(b.taken && !b.wanted ? `${name} unplanned` : name, comma(b.x - 2 * u, top + 4 * u, 15 * u), 1.1 * u, { 'data-after': b.after })];
    if (b.taken && !b.wanted) out.push(text('number', b.x - 9 * u, top + 16 * u, 13 * u, '+'));
    if (!b.taken) out.push(path('strike', `M${b.x - 8 * u} ${top + 20 * u}L${b.x + 9 * u} ${top + 2 * u}`, 1.3 * u));
    return out;
  });
}

/** Breaths to draw: of each place the one that was taken; those planned that were not; silences nobody planned only where air was heard. */
export function breathsAt(planned: ReadonlySet<string>, heard: readonly { after: string; audible: boolean; rest: boolean }[]): Omit<Taken, 'x'>[] {
  const out = new Map<string, Omit<Taken, 'x'>>();
  for (const after of planned) out.set(after, { after, wanted: true, taken: false, heard: false });
  for (const b of heard) {
    const wanted = planned.has(b.after), before = out.get(b.after);
    if (!wanted && !b.audible) continue;
    out.set(b.after, { after: b.after, wanted, taken: true, heard: b.audible || !!before?.heard });
  }
  return [...out.values()];
}
