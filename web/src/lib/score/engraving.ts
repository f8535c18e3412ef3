// An engraving in the document, and what every screen draws on it: systems set
// apart for their lanes, the pencil's rings, the loop's wash and the cursor.
import type { Timeline } from '../api';
import type { Range } from '../bars';
import { make, put } from './draw';
import { read, type Geometry } from './geometry';
import { pack } from './layout';
import { moments, place, type Moment } from './moments';
import { around, ring } from './ring';

export type Spot = { x: number; y: number; top: number; bottom: number }; // CSS pixels from the corner of the drawing

export class Engraving {
  protected shifts: number[] = [];
  protected readonly parts: Element[] = [];
  private timeline: Timeline | null = null;
  protected moments: Moment[] = [];
  private cursor: SVGGElement | null = null;
  private sounding: SVGGElement | null = null;

  protected constructor(readonly g: Geometry) {
    for (const s of g.systems) s.group.setAttribute('aria-hidden', 'true');
  }

  protected static geometry(host: Element): Geometry | null {
    const g = read(host);
    return g && g.systems.length > 0 ? g : null;
  }

  /** Units of the drawing in a CSS pixel. */
  get unit(): number {
    const width = this.g.outer.clientWidth || this.g.outer.getBoundingClientRect().width;
    return this.g.drawing.viewBox.baseVal.width / (width || 1);
  }

  /** Takes away what was drawn, before it is drawn anew for a performance. */
  protected clear(timeline: Timeline): void {
    for (const p of this.parts.splice(0)) p.remove();
    this.timeline = timeline;
    this.moments = moments(timeline, this.g);
  }

  /** Keeps what is drawn, to take it away again. */
  protected keep<E extends Element>(e: E): E {
    this.parts.push(e);
    return e;
  }

  /** Sets the systems apart for what lies between them, in units of the drawing. */
  protected spread(above: readonly number[], below: readonly number[]): void {
    const u = this.unit;
    const extents = this.g.systems.map((s, i) => ({ top: Math.min(s.top, s.staffTop - 20 * u), bottom: s.bottom, above: above[i]!, below: below[i]! }));
    const { shifts, height } = pack(extents, 20 * u);
    this.shifts = shifts;
    this.g.systems.forEach((s, i) => s.group.setAttribute('transform', `translate(0 ${shifts[i]!.toFixed(1)})`));
    const margin = this.g.margin.transform.baseVal.consolidate()?.matrix.f ?? 0;
    const inner = this.g.drawing.viewBox.baseVal, outer = this.g.outer.viewBox.baseVal;
    const all = height + 2 * margin, scale = outer.width / inner.width;
    this.g.drawing.setAttribute('viewBox', `0 0 ${inner.width} ${all.toFixed(0)}`);
    this.g.outer.setAttribute('viewBox', `0 0 ${outer.width} ${(all * scale).toFixed(1)}`);
  }

  protected lastHead(id: string) {
    const t = (this.timeline?.notes ?? []).find((n) => n.id === id);
    return this.g.heads.get(t?.pieces?.at(-1) ?? id) ?? this.g.heads.get(id);
  }

  /** The room after a note, up to the next note or the bar line. */
  protected gapAfter(head: { left: number; right: number; bar: number; system: number }) {
    let right = this.g.bars[head.bar]!.right;
    for (const h of this.g.heads.values()) if (h.system === head.system && h.left > head.right && h.left < right) right = h.left;
    return { left: head.right, right, middle: (head.right + right) / 2 };
  }

  /** Rings bars in graphite, a path for each system; replaces the rings before. */
  ring(ranges: readonly Range[]): void {
    this.g.margin.querySelectorAll('.ring').forEach((e) => e.remove());
    const u = this.unit;
    ranges.forEach((range, k) => {
      this.g.systems.forEach((s, i) => {
        const boxes = this.g.bars.slice(range.from, range.to + 1).filter((b) => b.system === i).map((b) => b.box);
        const box = around(boxes);
        if (box) s.group.append(make('path', { class: 'ring', d: ring(box, 9 * u, k * 17 + i + range.from), 'stroke-width': 1.6 * u }));
      });
    });
  }

  /** Shades what is looped. */
  shade(range: Range | null): void {
    this.g.margin.querySelectorAll('.loop').forEach((e) => e.remove());
    if (!range) return;
    const u = this.unit;
    this.g.systems.forEach((s, i) => {
      const box = around(this.g.bars.slice(range.from, range.to + 1).filter((b) => b.system === i).map((b) => ({ x: b.left, y: s.staffTop, width: b.right - b.left, height: s.staffBottom - s.staffTop })));
      if (box) s.group.prepend(make('rect', { class: 'loop', x: box.x, y: box.y - 6 * u, width: box.width, height: box.height + 12 * u }));
    });
  }

  /** How far below the staff the cursor reaches, in units of the drawing. */
  protected reach(_system: number): number {
    return 12 * this.unit;
  }

  /** Where the cursor's dot runs; null for none. */
  protected dot(_system: number, _x: number): number | null {
    return null;
  }

  /** Puts the cursor where the music is; the system it stands in. */
  show(time: number | null): number | null {
    this.sounding?.classList.remove('sounding');
    this.sounding = null;
    const at = time === null ? null : place(this.moments, time);
    if (!at || time === null) {
      this.cursor?.remove();
      this.cursor = null;
      return null;
    }
    const s = this.g.systems[at.system]!, u = this.unit;
    this.cursor ??= cursorOf(u);
    if (this.cursor.parentNode !== s.group) s.group.append(this.cursor);
    const [line, dot] = this.cursor.children as unknown as [SVGLineElement, SVGCircleElement];
    line.setAttribute('x1', String(at.x));
    line.setAttribute('x2', String(at.x));
    line.setAttribute('y1', String(s.staffTop - 12 * u));
    line.setAttribute('y2', String(s.staffBottom + this.reach(at.system)));
    const height = this.dot(at.system, at.x);
    dot.setAttribute('visibility', height === null ? 'hidden' : 'visible');
    dot.setAttribute('cx', String(at.x));
    dot.setAttribute('cy', String(height ?? 0));
    const note = (this.timeline?.notes ?? []).findLast((n) => n.start_s <= time + 1e-3 && n.end_s > time);
    this.sounding = note ? (this.g.heads.get(note.id)?.group ?? null) : null;
    this.sounding?.classList.add('sounding');
    return at.system;
  }

  /** Says that the cursor's place is not known: what sounds is not held against the page. */
  unsure(is: boolean): void {
    this.cursor?.classList.toggle('unsure', is);
  }

  /** Where a note or bar is on the screen, from the drawing's corner. */
  spot(system: number, x: number): Spot {
    const u = this.unit, s = this.g.systems[system]!;
    const margin = this.g.margin.transform.baseVal.consolidate()?.matrix;
    const shift = (this.shifts[system] ?? 0) + (margin?.f ?? 0);
    return { x: (x + (margin?.e ?? 0)) / u, y: (s.staffBottom + shift) / u, top: (s.staffTop + shift) / u, bottom: (s.bottom + shift) / u };
  }

  /** What can be touched lies over everything. */
  protected cover(layer: SVGGElement): void {
    this.g.margin.append(this.keep(layer));
  }
}

function cursorOf(u: number): SVGGElement {
  const g = make('g', { class: 'cursor', 'aria-hidden': 'true' });
  put(g, 'line', { 'stroke-width': 1.6 * u });
  put(g, 'circle', { r: 4.5 * u });
  return g;
}
