// Which places are ringed: the weightiest of the walk that are short enough.
import type { Sheet } from '../lib/api';
import { numbering, places } from '../lib/bars';
import type { Ring } from './over';

/** More rings than this hide the page (estimate). */
const most = 6;
/** A ring around more bars than this says nothing (estimate). */
const longest = 4;

/** The rings of a page, and for each finding of the walk its letter. */
export function chosen(sheet: Sheet): { rings: Ring[]; letters: Map<number, string> } {
  const numbers = numbering(sheet.timeline);
  const candidates = (sheet.read.findings ?? []).map((f, index) => ({ index, weight: f.weight, at: places(f, numbers) }))
    .filter((c) => c.at.length === 1 && c.at[0]!.to - c.at[0]!.from < longest)
    .sort((a, b) => b.weight - a.weight);
  const taken: { index: number; range: Ring['range'] }[] = [];
  for (const c of candidates) {
    const range = c.at[0]!;
    const free = taken.every((t) => t.range.to < range.from || t.range.from > range.to || same(t.range, range));
    const places = new Set(taken.map((t) => t.range.from)).size;
    if (free && (places < most || taken.some((t) => same(t.range, range)))) taken.push({ index: c.index, range });
  }
  return lettered(taken);
}

const same = (a: Ring['range'], b: Ring['range']): boolean => a.from === b.from && a.to === b.to;

/** Letters in the order of the page; findings about the same bars share one. */
function lettered(taken: readonly { index: number; range: Ring['range'] }[]): { rings: Ring[]; letters: Map<number, string> } {
  const rings: Ring[] = [], letters = new Map<number, string>();
  for (const t of [...taken].sort((a, b) => a.range.from - b.range.from)) {
    let r = rings.find((x) => same(x.range, t.range));
    if (!r) rings.push((r = { range: t.range, letter: String.fromCharCode(65 + rings.length) }));
    letters.set(t.index, r.letter);
  }
  return { rings, letters };
}
