// The notes of a take where they stand on the page.
import type { Timeline } from '../../lib/api';
import type { Heard, HeardNote } from '../../lib/heard';
import type { Geometry, Head } from '../../lib/score/geometry';

/** A note of the take: `slot` of `slots` side by side where several times round are drawn. */
export type Tone = { note: HeardNote; id: string; pass: number; start: number; end: number; slot: number; slots: number; index: number };

/** What is needed to know which bars a take has. */
export type Course = Pick<Heard, 'notes' | 'bars'>;

/** Turns of bars that the take does not have: it has no place for them, and nothing of them sounds. */
export function absent(heard: Course, timeline: Timeline): Set<string> {
  const out = new Set((timeline.bars ?? []).filter((_, i) => (heard.bars[i]?.at_s ?? null) === null).map((b) => turn(b.index, b.pass)));
  (timeline.notes ?? []).forEach((n, i) => {
    if (heard.notes[i]?.state !== 'missed') out.delete(turn(n.bar, n.pass));
  });
  return out;
}

const turn = (bar: number, pass: number): string => `${bar}.${pass}`;

/** How many times round the take has. */
export function passes(heard: Course, timeline: Timeline): number {
  const gone = absent(heard, timeline);
  return Math.max(1, ...(timeline.notes ?? []).filter((n) => !gone.has(turn(n.bar, n.pass))).map((n) => n.pass));
}

/** Bars of the page (indexes) that the take does not have in any turn. */
export function absentBars(heard: Course, timeline: Timeline): number[] {
  const gone = absent(heard, timeline);
  const all = new Map<number, boolean>();
  for (const b of timeline.bars ?? []) all.set(b.index, (all.get(b.index) ?? true) && gone.has(turn(b.index, b.pass)));
  return [...all].filter(([, is]) => is).map(([bar]) => bar);
}

/** The notes to draw: those of one time round, or of all (0) side by side. A bar played once is always there. */
export function tones(heard: Course, timeline: Timeline, pass: number): Tone[] {
  const gone = absent(heard, timeline);
  const byId = new Map<string, Tone[]>();
  (timeline.notes ?? []).forEach((n, i) => {
    const note = heard.notes[i];
    if (!note || gone.has(turn(n.bar, n.pass))) return;
    const list = byId.get(n.id) ?? [];
    list.push({ note, id: n.id, pass: n.pass, start: n.start_s, end: n.end_s, slot: 0, slots: 1, index: i });
    byId.set(n.id, list);
  });
  return [...byId.values()].flatMap((list) => {
    if (pass > 0) return [list.findLast((t) => t.pass <= pass) ?? list[0]!];
    return list.map((t, k) => ({ ...t, slot: k, slots: list.length }));
  });
}

/** A tone with its place: the middle of its slot, half a dash's width, and the pieces of its written length. */
export type Placed = Tone & { head: Head; x: number; half: number; spans: Span[] };
export type Span = { system: number; from: number; to: number };

/** Half a dash's width in CSS pixels, at most (estimate: a note head and a half). */
const widest = 8;

/** Places tones on an engraving; `u` are the drawing's units in a CSS pixel. */
export function placed(all: readonly Tone[], timeline: Timeline, g: Pick<Geometry, 'heads' | 'bars' | 'systems'>, u: number): Placed[] {
  const next = rightward(g);
  const pieces = new Map((timeline.notes ?? []).map((n) => [n.id, n.pieces ?? [n.id]]));
  return all.flatMap((t) => {
    const head = g.heads.get(t.id);
    if (!head) return [];
    const room = Math.max((next.get(t.id) ?? Infinity) - head.x, 6 * u);
    const whole = Math.min(widest * u, room * 0.42);
    const half = whole / t.slots;
    const x = head.x - whole + half * (2 * t.slot + 1);
    return [{ ...t, head, x, half: t.slots > 1 ? half * 0.86 : half, spans: spans(t, pieces.get(t.id)!, g, next) }];
  });
}

/** For each note the place of the next to its right on the same line. */
function rightward(g: Pick<Geometry, 'heads'>): Map<string, number> {
  const rows = new Map<number, [string, Head][]>();
  for (const [id, head] of g.heads) rows.set(head.system, [...(rows.get(head.system) ?? []), [id, head]]);
  const out = new Map<string, number>();
  for (const row of rows.values()) {
    row.sort((a, b) => a[1].x - b[1].x);
    row.forEach(([id, head], i) => {
      const after = row.slice(i + 1).find((r) => r[1].x > head.x + 1);
      if (after) out.set(id, after[1].x);
    });
  }
  return out;
}

/** The written length along the page: from the head of each tied piece to the next note, or to the bar line. */
function spans(t: Tone, pieces: readonly string[], g: Pick<Geometry, 'heads' | 'bars'>, next: Map<string, number>): Span[] {
  const heads = pieces.map((id) => [id, g.heads.get(id)] as const).filter((p): p is readonly [string, Head] => !!p[1]);
  return heads.map(([id, h]) => {
    const end = g.bars[h.bar]!.right, after = next.get(id);
    const to = after !== undefined && after < end ? after : end;
    return { system: h.system, from: h.left, to: h.left + (to - h.left) * 0.9 };
  });
}
