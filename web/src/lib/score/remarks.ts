// Remarks in the coach's ink over the systems, set so that none covers another.
import { put } from './draw';
import type { System } from './geometry';
import { wrap } from './layout';

/** A remark at a place of a line. */
export type Said = { id: string; system: number; x: number; text: string };
export type Laid = { id: string; system: number; x: number; row: number; lines: string[] };

/** Sizes in CSS pixels: of the type, from line to line, and of a letter (measured of Literata, italic). */
const type = 14, leading = 17, letter = 7.2;
/** Letters in a line at most and at least, and lines of a remark (estimates, for what is read in passing). */
const longest = 44, shortest = 14, most = 3;

/** Breaks remarks into lines and sets those that would meet above one another. */
export function lay(all: readonly Said[], systems: readonly Pick<System, 'right'>[], u: number): Laid[] {
  const out: (Laid & { to: number })[] = [];
  for (const { id, system, x, text } of all.toSorted((a, b) => a.x - b.x)) {
    const room = Math.floor((systems[system]!.right - x) / (letter * u));
    const lines = wrap(text, Math.min(Math.max(shortest, room), longest), most);
    const to = x + Math.max(...lines.map((l) => l.length)) * letter * u;
    const met = out.filter((o) => o.system === system && o.to > x && o.x < to);
    out.push({ id, system, x, to, lines, row: Math.max(0, ...met.map((o) => o.row + o.lines.length)) });
  }
  return out.map(({ id, system, x, row, lines }) => ({ id, system, x, row, lines }));
}

/** The room that remarks need over each system, in units of the drawing. */
export function roomFor(all: readonly Laid[], systems: number, u: number): number[] {
  return Array.from({ length: systems }, (_, i) => Math.max(0, ...all.filter((r) => r.system === i).map((r) => r.row + r.lines.length)) * leading * u);
}

/** Writes them; the elements, to take them away again. */
export function write(all: readonly Laid[], systems: readonly System[], u: number): Element[] {
  return all.flatMap((r) => {
    const s = systems[r.system]!, base = Math.min(s.top, s.staffTop - 20 * u) - 5 * u;
    return r.lines.map((line, i) => {
      const y = base - (r.row + r.lines.length - 1 - i) * leading * u;
      return put(s.group, 'text', { class: 'remark', x: r.x, y, 'font-size': type * u, 'data-mark': r.id }, line);
    });
  });
}
