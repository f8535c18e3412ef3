// From note to note by the arrow keys, on any engraved page.
import type { Spot } from '../lib/score/engraving';

export type Steps = { ids: () => string[]; here: () => string; spot: (id: string) => Spot | null; focus: (id: string) => void };

/** What a key does; null for one that does nothing here. Up, down, Home and End only from a note. */
export function stepBy(s: Steps, key: string, onNote: boolean): (() => void) | null {
  switch (key) {
    case 'ArrowLeft': return () => move(s, -1);
    case 'ArrowRight': return () => move(s, 1);
    case 'ArrowUp': return onNote ? () => line(s, -1) : null;
    case 'ArrowDown': return onNote ? () => line(s, 1) : null;
    case 'Home': return onNote ? () => ends(s, false) : null;
    case 'End': return onNote ? () => ends(s, true) : null;
  }
  return null;
}

function move(s: Steps, by: number): void {
  const ids = s.ids(), i = ids.indexOf(s.here());
  const next = ids[i < 0 ? 0 : Math.min(Math.max(i + by, 0), ids.length - 1)];
  if (next) s.focus(next);
}

/** The notes by the line they stand on, each with its place. */
function lines(s: Steps): { id: string; x: number; y: number }[] {
  return s.ids().flatMap((id) => {
    const at = s.spot(id);
    return at ? [{ id, x: at.x, y: at.y }] : [];
  });
}

function line(s: Steps, by: number): void {
  const all = lines(s), here = all.find((n) => n.id === s.here());
  if (!here) return;
  const heights = [...new Set(all.map((n) => n.y))].sort((p, q) => p - q);
  const y = heights[heights.indexOf(here.y) + by];
  const near = all.filter((n) => n.y === y).sort((p, q) => Math.abs(p.x - here.x) - Math.abs(q.x - here.x))[0];
  if (near) s.focus(near.id);
}

function ends(s: Steps, last: boolean): void {
  const all = lines(s), here = all.find((n) => n.id === s.here());
  const row = all.filter((n) => n.y === here?.y);
  const to = last ? row.at(-1) : row[0];
  if (to) s.focus(to.id);
}
