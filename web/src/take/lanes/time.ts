// The lane of time: a tick where the beat is, a bar to its left for early and to its
// right for late.
import { coverage, lateLimit, signed, speaksTime } from '../numbers';
import type { Placed } from './tones';
import { line, rect, set, type Ground, type Label, type Shape } from './shape';

/** Height in CSS pixels; pixels of a millisecond; pixels at which a bar ends: where a lateness is spoken of its number goes on. */
export const timeHeight = 30, perMs = 0.3, longest = lateLimit * perMs;

/** How far right of its beat a note lies, in CSS pixels; early is left. */
export function widthOf(ms: number): number {
  return Math.min(Math.max(ms * perMs, -longest), longest);
}

/** Milliseconds against a steady beat, or against the one around each note. */
export function timeLane(notes: readonly Placed[], { left, right, top, u }: Ground, steady: boolean): Shape[] {
  const y = top + 20 * u;
  const out: Shape[] = [line('grid', left, y, right, y, 0.6 * u)];
  const labels: Label[] = [];
  for (const t of notes) {
    const ms = steady ? t.note.late_steady_ms : t.note.late_ms;
    if (ms === undefined || t.note.uncertainty === undefined) continue;
    const x = t.x, end = x + widthOf(ms) * u, large = speaksTime(t.note, ms);
    out.push(line('tick', x, y - 5 * u, x, y + 5 * u, 0.9 * u));
    out.push(rect(large ? 'lateness large' : 'lateness', Math.min(x, end), y - (large ? 3.5 : 2.5) * u, Math.max(Math.abs(end - x), 1.2 * u), (large ? 7 : 5) * u, { 'data-id': t.id, 'data-pass': t.pass }));
    const doubt = widthOf(coverage * t.note.uncertainty.late_ms) * u;
    if (doubt > 1.5 * u) out.push(line('whisker', end - doubt, y, end + doubt, y, 0.9 * u));
    if (large) labels.push({ x: (x + end) / 2, y: y - 8 * u, words: signed(ms), up: true, name: 'number', data: { 'data-id': t.id, 'data-pass': t.pass } });
  }
  return [...out, ...set(labels, 11 * u)];
}
