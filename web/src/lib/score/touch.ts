// What can be touched on a page: a button over each note, a narrow area after it,
// and the bar behind. They lie over the engraving and are not seen.
import type { MarkedNote, Sheet } from '../api';
import type { Written } from '../marks';
import { cost, spokenPitch } from '../words';
import { make, put } from './draw';
import type { Geometry, Head } from './geometry';

export type Touch = {
  note: (id: string) => void;
  gap: (id: string) => void;
  bar: (index: number, event: MouseEvent) => void;
  focus: (id: string) => void;
};

export function touch(sheet: Sheet, marks: Written, g: Geometry, shifts: number[], u: number, on: Touch, below: number): SVGGElement {
  const layer = make('g', { class: 'touch', role: 'group', 'aria-label': 'Notes; arrow keys move, Enter opens the ways to play one' });
  const height = (s: number) => {
    const sys = g.systems[s]!;
    return { y: sys.staffTop - 24 * u + shifts[s]!, height: sys.bottom - sys.staffTop + (24 + below) * u };
  };
  // Only the staff breathes: over and under it the bar is touched.
  const staff = (s: number) => {
    const sys = g.systems[s]!;
    return { y: sys.staffTop - 8 * u + shifts[s]!, height: sys.staffBottom - sys.staffTop + 16 * u };
  };
  g.bars.forEach((b, i) => {
    const r = put(layer, 'rect', { class: 'bar', x: b.left, width: b.right - b.left, ...height(b.system), 'data-bar': i });
    r.addEventListener('click', (e) => on.bar(i, e));
  });
  const list = sheet.mark.notes ?? [];
  const heads = list.map((n) => g.heads.get(n.id));
  list.forEach((n, i) => {
    const head = heads[i];
    if (!head) return;
    const h = height(head.system);
    gap(layer, n.id, head, rightOf(head, heads[i + 1], g), staff(head.system), on);
    button(layer, n, head, h, u, marks, i === 0, on);
  });
  return layer;
}

function rightOf(head: Head, next: Head | undefined, g: Geometry): number {
  const end = g.bars[head.bar]!.right;
  return next && next.bar === head.bar && next.system === head.system ? next.left : end;
}

function gap(layer: SVGGElement, id: string, head: Head, right: number, h: { y: number; height: number }, on: Touch): void {
  const width = right - head.right;
  if (width <= 0) return;
  const r = put(layer, 'rect', { class: 'gap', x: head.right + width * 0.25, width: width * 0.75, ...h, 'data-after': id });
  r.addEventListener('click', () => on.gap(id));
  put(r, 'title', {}, 'breathe here, or never');
}

function button(layer: SVGGElement, n: MarkedNote, head: Head, h: { y: number; height: number }, u: number, marks: Written, first: boolean, on: Touch): void {
  const pad = Math.min(5 * u, head.right - head.left);
  const b = put(layer, 'rect', {
    class: 'note-button', x: head.left - pad, width: head.right - head.left + 2 * pad, ...h, rx: 3 * u,
    role: 'button', tabindex: first ? 0 : -1, 'aria-label': describe(n, marks), 'data-note': n.id,
  });
  b.addEventListener('click', () => on.note(n.id));
  b.addEventListener('focus', () => on.focus(n.id));
}

/** A note in words. */
export function describe(n: MarkedNote, marks: Written): string {
  const way = n.choice ? n.choice.label.replace('♭', 'flat ').replace('♯', 'sharp ') : 'out of reach';
  const others = n.others?.length ?? 0;
  const more = others ? `, ${others} other ${others === 1 ? 'way' : 'ways'}, the nearest ${cost(Math.min(...n.others!.map((o) => o.extra_cost)))}` : '';
  const pin = marks.pins.has(n.id) || n.pinned ? ', chosen by the coach' : '';
  return `Bar ${n.bar}, ${spokenPitch(n.written || n.pitch)}, ${way}${pin}${more}`;
}
