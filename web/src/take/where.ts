// Where on the page each moment of a take is, and back. The page's time is that of
// the performance with its repeats unfolded, in seconds at the page's own tempo.
//
// A take is a row of runs: within one the player goes straight on; between two there
// was a stop, a fresh start or a jump, and what sounds there is held against nothing.
import type { Timeline } from '../lib/api';
import type { Heard } from '../lib/heard';

export type Anchor = { page: number; take: number };
export type Run = { anchors: Anchor[]; /** How it was left: a kind of `went`, or "end". */ left: string; to: string };

/** Ways of going on after which the page is somewhere else. */
const jumps = new Set(['restart', 'stop', 'ahead', 'left-out', 'repeat-not-taken']);
/** Seconds within which two moments are the same (estimate: under the onset's own uncertainty). */
const same = 0.005;

/** The runs of a take in order of time. */
export function runs(heard: Pick<Heard, 'notes' | 'bars' | 'went'>, timeline: Timeline): Run[] {
  const breaks = (heard.went ?? []).filter((w) => jumps.has(w.kind)).toSorted((a, b) => a.at_s - b.at_s);
  const out: Run[] = [];
  let run: Run | null = null, k = 0;
  for (const a of anchors(heard, timeline)) {
    while (breaks[k] && a.take >= breaks[k]!.at_s - same) {
      if (run) [run.left, run.to, run] = [breaks[k]!.kind, breaks[k]!.to, null];
      k++;
    }
    if (!run) out.push((run = { anchors: [], left: 'end', to: '' }));
    run.anchors.push(a);
  }
  return out.map((r, i) => ({ ...r, anchors: ended(r, out[i + 1], heard, timeline) }));
}

/** Moments that are known on both sides, both rising: the onsets, and where bars begin in silence. */
function anchors(heard: Pick<Heard, 'notes' | 'bars'>, timeline: Timeline): Anchor[] {
  const notes = (timeline.notes ?? []).flatMap((n, i) => {
    const take = heard.notes[i]?.onset_s;
    return take === undefined ? [] : [{ page: n.start_s, take, heard: true }];
  });
  const starts = new Set(notes.map((n) => n.page.toFixed(3)));
  const bars = (timeline.bars ?? []).flatMap((b, i) => {
    const take = heard.bars[i]?.at_s ?? null;
    return take === null || take < 0 || starts.has(b.start_s.toFixed(3)) ? [] : [{ page: b.start_s, take, heard: false }];
  });
  const all = [...notes, ...bars].sort((a, b) => a.page - b.page);
  const out: Anchor[] = [];
  all.forEach((a, i) => {
    const last = out.at(-1);
    if (last && (a.take <= last.take || a.page <= last.page)) return;
    // A bar's place is computed: it yields to the note that follows it.
    const next = all.slice(i + 1).find((b) => b.heard);
    if (!a.heard && next && next.take <= a.take) return;
    out.push({ page: a.page, take: a.take });
  });
  return out;
}

/** The anchors of a run and its end: where its last note ends on the page, at the pace it had. */
function ended(run: Run, next: Run | undefined, heard: Pick<Heard, 'notes'>, timeline: Timeline): Anchor[] {
  const last = run.anchors.at(-1)!;
  const i = (timeline.notes ?? []).findLastIndex((n) => n.start_s <= last.page + 1e-6);
  const note = timeline.notes?.[i], offset = heard.notes[i]?.offset_s;
  const page = Math.max(note?.end_s ?? last.page, last.page), before = run.anchors.at(-2);
  const pace = before ? (last.take - before.take) / (last.page - before.page) : 1;
  let take = last.take + (page - last.page) * pace;
  if (offset !== undefined && offset > last.take) take = Math.max(take, offset);
  if (next) take = Math.min(take, next.anchors[0]!.take);
  return page > last.page && take > last.take ? [...run.anchors, { page, take }] : run.anchors;
}

/** A place on the page, and whether what sounds there was held against it. */
export type Place = { page: number; sure: boolean; why: string; to: string };

/** Where a second of the take is; null before the music and without any. */
export function placeOf(all: readonly Run[], take: number): Place | null {
  const i = all.findLastIndex((r) => r.anchors[0]!.take <= take);
  const run = all[i];
  if (!run) return null;
  const last = run.anchors.at(-1)!;
  if (take > last.take + same) return { page: last.page, sure: false, why: run.left, to: run.to };
  return { page: between(run.anchors, take, 'take', 'page'), sure: true, why: '', to: '' };
}

/** The second of the take at a place of the page; null where the take does not have it. */
export function takeTime(all: readonly Run[], page: number): number | null {
  for (const run of all.toReversed()) {
    const first = run.anchors[0]!, last = run.anchors.at(-1)!;
    if (page >= first.page - same && page <= last.page + same) return between(run.anchors, page, 'page', 'take');
  }
  return null;
}

/** As takeTime; where the take does not have the place, the next that it has, else its last. */
export function nearestTime(all: readonly Run[], page: number): number {
  const at = takeTime(all, page);
  if (at !== null) return at;
  const later = all.flatMap((r) => r.anchors).filter((a) => a.page >= page).sort((a, b) => a.page - b.page)[0];
  return later?.take ?? all.at(-1)?.anchors.at(-1)?.take ?? 0;
}

function between(all: readonly Anchor[], value: number, from: 'take' | 'page', to: 'take' | 'page'): number {
  let i = all.findLastIndex((a) => a[from] <= value);
  i = Math.min(Math.max(i, 0), Math.max(all.length - 2, 0));
  const a = all[i]!, b = all[i + 1];
  if (!b) return a[to];
  const share = Math.min(Math.max((value - a[from]) / (b[from] - a[from]), 0), 1);
  return a[to] + (b[to] - a[to]) * share;
}

/** What the silence or the unmeasured sound after a run is, in words. */
export function gapWords(p: Place): string {
  switch (p.why) {
    case 'restart': return `Begins again in bar ${p.to}; this part is not measured`;
    case 'stop': return `Stops here; goes on in bar ${p.to}`;
    case 'ahead': case 'left-out': return `Goes on in bar ${p.to}`;
    default: return '';
  }
}
