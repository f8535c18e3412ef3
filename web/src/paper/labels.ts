// Positions or fingerings over the notes, clear of everything that is drawn there,
// and the breaths between them.
import type { Sheet } from '../lib/api';
import type { Written } from '../lib/marks';
import { comma, put } from '../lib/score/draw';
import type { Geometry, Head } from '../lib/score/geometry';
import type { placed } from '../lib/score/lanes';
import type { Skyline } from './skyline';

/** Sizes in CSS pixels (estimates: read from a stand at arm's length). */
export const sizes = { label: 11, gap: 2.6, breath: 12, staffGap: 5 };
/** A bar's labels stand in a row unless that lifts one by more than this many CSS pixels (estimate). */
const lift = 11;

type Placed = ReturnType<typeof placed>[number][number];
type Label = { group: SVGTextElement; from: number; to: number; want: number; bar: number };

/** Writes the labels of a system. */
export function labels(g: Geometry, system: number, notes: readonly Placed[], marks: Written, sky: Skyline, u: number): void {
  const s = g.systems[system]!;
  const base = s.staffTop - sizes.staffGap * u;
  const all = notes.filter((p) => p.note.id === p.head.group.id).map((p): Label => {
    const pinned = marks.pins.has(p.note.id) || p.note.pinned;
    const group = put(s.group, 'text', { class: pinned ? 'way pinned' : 'way', x: p.head.x.toFixed(0), 'font-size': sizes.label * u, 'text-anchor': 'middle', 'data-note': p.note.id }, p.note.choice?.label ?? '–');
    const half = group.getComputedTextLength() / 2 + 0.8 * u;
    const [from, to] = [p.head.x - half, p.head.x + half];
    return { group, from, to, want: Math.min(base, sky.top(from, to) - sizes.gap * u), bar: p.head.bar };
  });
  for (const row of rows(all)) {
    const level = Math.min(...row.map((l) => l.want));
    const together = row.every((l, i) => l.want - level <= lift * u && (i === 0 || row[i - 1]!.to <= l.from));
    for (const l of row) write(l, together ? level : base, sky, u);
  }
}

function rows(all: readonly Label[]): Label[][] {
  const out: Label[][] = [];
  for (const l of all) {
    if (out.at(-1)?.[0]?.bar === l.bar) out.at(-1)!.push(l);
    else out.push([l]);
  }
  return out;
}

/** Sets a label at its level, or over what stands there by now. */
function write(l: Label, level: number, sky: Skyline, u: number): void {
  const y = Math.min(level, sky.top(l.from, l.to) - sizes.gap * u);
  l.group.setAttribute('y', y.toFixed(0));
  sky.add(l.from, l.to, y - 0.74 * sizes.label * u, y); // figures and capitals reach 0.7 of the size
}

/** Writes the breaths of all systems: those planned, and those the coach wrote. */
export function breaths(sheet: Sheet, marks: Written, g: Geometry, skies: readonly Skyline[], u: number): void {
  const planned = (sheet.mark.breaths ?? []).filter((b) => !b.printed && !marks.breaths.get(b.after)?.breath?.never).map((b) => b.after);
  const written = [...marks.breaths].filter(([, m]) => !m.breath!.never).map(([id]) => id);
  const last = new Map((sheet.timeline.notes ?? []).map((n) => [n.id, n.pieces?.at(-1) ?? n.id]));
  for (const id of new Set([...planned, ...written])) {
    const head = g.heads.get(last.get(id) ?? id) ?? g.heads.get(id);
    if (!head) continue;
    const s = g.systems[head.system]!, sky = skies[head.system]!, size = sizes.breath * u;
    const x = Math.min(gapAfter(g, head), head.right + 2.2 * g.space, s.right - 0.5 * size) - 0.1 * size;
    const foot = Math.min(s.staffTop + 2 * u, sky.top(x - u, x + 0.5 * size) - u);
    put(s.group, 'path', { class: marks.breaths.has(id) ? 'breath coach' : 'breath', d: comma(x, foot - size, size), 'data-after': id });
    sky.add(x, x + 0.45 * size, foot - 1.1 * size, foot);
  }
}

/** The middle between a note and what follows it in its bar. */
function gapAfter(g: Geometry, head: Head): number {
  let right = g.bars[head.bar]!.right;
  for (const h of g.heads.values()) if (h.system === head.system && h.left > head.right && h.left < right) right = h.left;
  return (head.right + right) / 2;
}
