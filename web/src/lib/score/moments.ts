// Where on the page each moment of the performance is, for the cursor.
import type { Timeline } from '../api';
import type { Geometry } from './geometry';

export type Moment = { at: number; system: number; x: number; bar: number };

/** Moments in order of time; between two of the same turn of a bar the cursor moves evenly. */
export function moments(timeline: Timeline, g: Geometry): Moment[] {
  const out: Moment[] = [];
  const bars = timeline.bars ?? [], notes = timeline.notes ?? [];
  let n = 0;
  bars.forEach((b, i) => {
    const bar = g.bars[b.index];
    const end = bars[i + 1]?.start_s ?? timeline.seconds;
    if (!bar) return;
    const at = (time: number, x: number) => out.push({ at: time, system: bar.system, x, bar: b.index });
    const first = notes[n];
    if (!first || first.start_s > b.start_s + 1e-3) at(b.start_s, bar.start);
    for (; n < notes.length && notes[n]!.start_s < end - 1e-6; n++) {
      const head = g.heads.get(notes[n]!.id);
      if (head && head.bar === b.index) at(notes[n]!.start_s, head.x);
    }
    at(end, bar.right);
  });
  return out;
}

/** Where the cursor stands at a time. */
export function place(all: readonly Moment[], time: number): Moment | null {
  if (all.length === 0) return null;
  let lo = 0, hi = all.length;
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (all[mid]!.at <= time) lo = mid;
    else hi = mid;
  }
  const a = all[lo]!, b = all[lo + 1];
  if (!b || b.at <= a.at || b.system !== a.system || b.x < a.x) return a;
  const share = Math.min(Math.max((time - a.at) / (b.at - a.at), 0), 1);
  return { ...a, x: a.x + (b.x - a.x) * share };
}

/** A time as a turn of a bar and a share of it, to keep the place at another tempo. */
export function sameplace(from: Timeline, to: Timeline, time: number): number {
  const a = from.bars ?? [], b = to.bars ?? [];
  let i = a.findLastIndex((x) => x.start_s <= time);
  if (i < 0) i = 0;
  const [s, e] = [a[i]?.start_s ?? 0, a[i + 1]?.start_s ?? from.seconds];
  const [s2, e2] = [b[i]?.start_s ?? 0, b[i + 1]?.start_s ?? to.seconds];
  return e > s ? s2 + ((e2 - s2) * (time - s)) / (e - s) : s2;
}
