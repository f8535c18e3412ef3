// What a lane is drawn with: shapes in the units of the engraving, found without a
// document, so that they can be checked.
import type { Attributes } from '../../lib/score/draw';

export type Shape = { name: 'line' | 'rect' | 'path' | 'text' | 'circle'; at: Attributes; text?: string };

export const line = (name: string, x1: number, y1: number, x2: number, y2: number, width: number, more: Attributes = {}): Shape => ({
  name: 'line', at: { class: name, x1: r(x1), y1: r(y1), x2: r(x2), y2: r(y2), 'stroke-width': r(width), ...more },
});
export const rect = (name: string, x: number, y: number, width: number, height: number, more: Attributes = {}): Shape => ({
  name: 'rect', at: { class: name, x: r(x), y: r(y), width: r(Math.max(width, 0)), height: r(height), ...more },
});
export const path = (name: string, d: string, width = 0, more: Attributes = {}): Shape => ({
  name: 'path', at: { class: name, d, ...(width ? { 'stroke-width': r(width) } : {}), ...more },
});
export const text = (name: string, x: number, y: number, size: number, words: string, more: Attributes = {}): Shape => ({
  name: 'text', at: { class: name, x: r(x), y: r(y), 'font-size': r(size), 'text-anchor': 'middle', ...more }, text: words,
});

/** Where a lane lies in its system, and the drawing's units in a CSS pixel. */
export type Ground = { left: number; right: number; top: number; u: number };

const r = (v: number): number => Math.round(v * 10) / 10;

/** A number to be written over or under its mark. */
export type Label = { x: number; y: number; words: string; up: boolean; name: string; data?: Attributes };

/** Width of a digit, as a share of the type's size (measured of Atkinson Hyperlegible Next, tabular). */
const digit = 0.6;

/** Sets labels so that none covers another: those that would move away by a line, twice at most. */
export function set(labels: readonly Label[], size: number): Shape[] {
  const taken: { left: number; right: number; y: number }[] = [];
  return labels.map((l) => {
    const half = (l.words.length * digit * size) / 2;
    const free = (y: number) => !taken.some((t) => t.left < l.x + half && t.right > l.x - half && Math.abs(t.y - y) < size * 0.9);
    const step = (l.up ? -1 : 1) * size;
    const y = [l.y, l.y + step, l.y + 2 * step].find(free) ?? l.y;
    taken.push({ left: l.x - half, right: l.x + half, y });
    return text(l.name, l.x, y, size, l.words, l.data);
  });
}
