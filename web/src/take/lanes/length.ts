// The lane of length: the written value as a ghost, and on it how much sounds.
import { number } from '../numbers';
import type { Placed } from './tones';
import { rect, set, type Ground, type Label, type Shape } from './shape';

/** Height in CSS pixels; that of a bar, of one time round or of several. */
export const lengthHeight = 26;
const thick = 7, thin = 4;

/** Longer than this share of the written value no bar is drawn. */
const most = 1.25;

/** The pieces of a bar that sounds for a share of its written spans, from the left on. */
export function filled(spans: readonly { from: number; to: number }[], share: number): { from: number; to: number }[] {
  let left = spans.reduce((sum, s) => sum + s.to - s.from, 0) * Math.min(Math.max(share, 0), most);
  const out: { from: number; to: number }[] = [];
  spans.forEach((s, i) => {
    if (left <= 0) return;
    const room = i === spans.length - 1 ? Infinity : s.to - s.from;
    const take = Math.min(left, room);
    out.push({ from: s.from, to: s.from + take });
    left -= take;
  });
  return out;
}

/** `spoken` says which notes a finding speaks of: they carry their number. */
export function lengthLane(notes: readonly Placed[], system: number, { top, u }: Ground, spoken: (t: Placed) => boolean): Shape[] {
  const out: Shape[] = [], labels: Label[] = [];
  for (const t of notes) {
    const high = (t.slots > 1 ? thin : thick) * u;
    const y = top + 14 * u + (t.slots > 1 ? t.slot * (thin + 1.5) * u : 0);
    const pieces = filled(t.spans, t.note.length_ratio ?? 0);
    t.spans.forEach((s, i) => {
      if (s.system !== system) return;
      out.push(rect('ghost', s.from, y, s.to - s.from, high));
      const p = pieces[i];
      if (p) out.push(rect(spoken(t) ? 'sounding-bar large' : 'sounding-bar', p.from, y + high * 0.18, p.to - p.from, high * 0.64, { 'data-id': t.id, 'data-pass': t.pass }));
    });
    if (spoken(t) && t.note.length_ratio !== undefined && t.slot === 0) {
      labels.push({ x: (t.spans[0]!.from + t.spans[0]!.to) / 2, y: top + 11 * u, words: number(t.note.length_ratio, 2).replace(/^0/, ''), up: true, name: 'number', data: { 'data-id': t.id, 'data-pass': t.pass } });
    }
  }
  return [...out, ...set(labels, 11 * u).filter((s) => Number(s.at.y) > top)];
}
