// From bars and findings to moments of a take, and back.
import type { Finding, Timeline } from '../lib/api';
import { places, type Range } from '../lib/bars';
import { placeOf, takeTime, type Run } from './where';

/** When a bar sounds: its first turn in the take, or the one asked for (0 for any); null when never. */
export function barTime(runs: readonly Run[], timeline: Timeline, index: number, pass = 0): number | null {
  const turns = (timeline.bars ?? []).filter((b) => b.index === index);
  for (const b of [...turns.filter((b) => b.pass === pass), ...turns]) {
    const at = takeTime(runs, b.start_s);
    if (at !== null) return at;
  }
  // The take may begin or end within the bar.
  const note = (timeline.notes ?? []).find((n) => n.bar === index && takeTime(runs, n.start_s) !== null);
  return note ? takeTime(runs, note.start_s) : null;
}

/** The bar (index) that sounds at a second of the take; -1 for none. */
export function barAt(runs: readonly Run[], timeline: Timeline, seconds: number): number {
  const at = placeOf(runs, seconds);
  return at ? pageBar(timeline, at.page) : -1;
}

/** The bar (index) at a second of the page. */
export function pageBar(timeline: Timeline, page: number): number {
  return (timeline.bars ?? []).findLast((b) => b.start_s <= page + 1e-3)?.index ?? -1;
}

/** The bars a finding rings: none for one about the whole part. */
export function ringed(f: Finding, numbers: Map<string, number[]>, last: number): Range[] {
  const all = [...new Map(places(f, numbers).map((r) => [`${r.from} ${r.to}`, r])).values()]; // each once, however often it comes round
  return all.length === 1 && all[0]!.from === 0 && all[0]!.to === last ? [] : all;
}
