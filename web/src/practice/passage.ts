// Where a passage stands in the whole part: tempos and moments.
import type { Timeline } from '../lib/api';
import { counted as beatsBefore } from '../lib/clicks';

/** The tempo of a bar in felt beats a minute: that of its fastest beat, since a fermata only holds. */
export function tempoAt(timeline: Timeline, bar: number): number {
  const bars = timeline.bars ?? [], beats = timeline.beats ?? [];
  const i = bars.findIndex((b) => b.index === bar);
  if (i < 0) return timeline.tempo_bpm;
  const end = bars[i + 1]?.start_s ?? timeline.seconds;
  let least = Infinity;
  beats.forEach((b, k) => {
    const next = beats[k + 1]?.at_s ?? timeline.seconds;
    if (b.at_s >= bars[i]!.start_s - 1e-3 && b.at_s < end - 1e-3) least = Math.min(least, next - b.at_s);
  });
  return Number.isFinite(least) && least > 0 ? 60 / least : timeline.tempo_bpm;
}

/** The opening tempo of the whole part at which a bar comes at `bpm`. */
export function opening(timeline: Timeline, bar: number, bpm: number): number {
  return Math.round(((timeline.tempo_bpm * bpm) / tempoAt(timeline, bar)) * 100) / 100;
}

/** Turns of bars in the whole part, both included, as indexes into its timeline. */
export type Cut = { from: number; to: number };

/** The shortest way from one bar to another as they are played: with a repeat between them the last time through. */
export function shortest(part: Timeline, from: number, to: number): Cut | null {
  const bars = part.bars ?? [];
  let best: Cut | null = null, start = -1;
  bars.forEach((b, i) => {
    if (b.index === from) start = i;
    if (b.index === to && start >= 0 && (!best || i - start < best.to - best.from)) best = { from: start, to: i };
  });
  return best;
}

/** The shortest way, where the program's own, which is the first time through, is longer; else null. */
export function acrossRepeat(part: Timeline, from: number, to: number): Cut | null {
  const bars = part.bars ?? [];
  const first = bars.findIndex((b) => b.index === from), last = bars.findIndex((b, i) => i >= first && b.index === to);
  const best = shortest(part, from, to);
  return best && first >= 0 && last >= 0 && best.to - best.from < last - first ? best : null;
}

/** A stretch of the whole part as a timeline of its own, after a bar of count-in. */
export function cutOut(part: Timeline, cut: Cut): Timeline {
  const bars = part.bars ?? [], start = bars[cut.from]!.start_s, end = bars[cut.to + 1]?.start_s ?? part.seconds;
  const before = beatsBefore(part, start, 1);
  const shift = -(before[0]?.at ?? 0) - start;
  const inside = (s: number) => s >= start - 1e-3 && s < end - 1e-3;
  return {
    ...part, seconds: end + shift,
    bars: bars.slice(cut.from, cut.to + 1).map((b) => ({ ...b, start_s: b.start_s + shift })),
    notes: (part.notes ?? []).filter((n) => inside(n.start_s)).map((n) => ({ ...n, start_s: n.start_s + shift, end_s: n.end_s + shift })),
    beats: [...before.map((b) => ({ at_s: b.at + start + shift, down: b.down })), ...(part.beats ?? []).filter((b) => inside(b.at_s)).map((b) => ({ ...b, at_s: b.at_s + shift }))],
  };
}

/** Seconds before the first bar of a passage: its count-in. */
export const countIn = (passage: Timeline): number => passage.bars?.[0]?.start_s ?? 0;

/** A moment of a passage as one of the whole part; null while it is counted in. */
export function inPart(passage: Timeline, part: Timeline, time: number): number | null {
  const bars = passage.bars ?? [], all = part.bars ?? [];
  const i = bars.findLastIndex((b) => b.start_s <= time + 1e-6);
  if (i < 0) return null;
  const j = all.findIndex((b) => b.index === bars[i]!.index && b.pass === bars[i]!.pass);
  if (j < 0) return null;
  const [s, e] = [bars[i]!.start_s, bars[i + 1]?.start_s ?? passage.seconds];
  const [s2, e2] = [all[j]!.start_s, all[j + 1]?.start_s ?? part.seconds];
  return e > s ? s2 + (e2 - s2) * Math.min((time - s) / (e - s), 1) : s2;
}

/** What a conductor would show at a moment of the count-in: "1", "2", and a breath on the last beat; "" later. */
export function counted(passage: Timeline, time: number): string {
  const start = countIn(passage);
  if (time >= start - 1e-3) return '';
  const before = (passage.beats ?? []).filter((b) => b.at_s < start - 1e-3);
  const i = before.findLastIndex((b) => b.at_s <= time + 1e-3);
  if (i < 0) return '';
  if (i === before.length - 1) return 'Breathe';
  const down = before.slice(0, i + 1).findLastIndex((b) => b.down);
  return String(i - Math.max(down, 0) + 1);
}
