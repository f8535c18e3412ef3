// An engraved page with everything that lies on it: lanes under each system,
// breaths, remarks, the pencil's rings, the cursor, and what can be touched.
import type { Sheet } from '../api';
import type { Range } from '../bars';
import { written, type Written } from '../marks';
import { comma, make, put } from './draw';
import { read, type Geometry } from './geometry';
import * as lanes from './lanes';
import { pack, wrap } from './layout';
import { moments, place, type Moment } from './moments';
import { around, ring } from './ring';
import { heightAt, type Point } from './slide';
import { touch, type Touch } from './touch';

export type Options = { slide: boolean; air: boolean };
export type Spot = { x: number; y: number; top: number; bottom: number }; // CSS pixels from the corner of the drawing

export class Page {
  readonly g: Geometry;
  private sheet: Sheet | null = null;
  private shifts: number[] = [];
  private curves: Point[][] = [];
  private moments: Moment[] = [];
  private cursor: SVGGElement | null = null;
  private sounding: SVGGElement | null = null;
  private readonly parts: Element[] = [];

  private constructor(g: Geometry) {
    this.g = g;
    for (const s of g.systems) s.group.setAttribute('aria-hidden', 'true');
  }

  static of(host: Element): Page | null {
    const g = read(host);
    return g && g.systems.length > 0 ? new Page(g) : null;
  }

  /** Units of the drawing in a CSS pixel. */
  get unit(): number {
    const width = this.g.outer.clientWidth || this.g.outer.getBoundingClientRect().width;
    return this.g.drawing.viewBox.baseVal.width / (width || 1);
  }

  /** Draws everything anew on the same engraving. */
  draw(sheet: Sheet, options: Options, touched: Touch): void {
    for (const p of this.parts.splice(0)) p.remove();
    this.sheet = sheet;
    const marks = written(sheet), u = this.unit;
    const remarks = this.remarkLines(marks, u);
    this.spread(sheet, options, remarks, u);
    const notes = lanes.placed(sheet, this.g);
    this.curves = this.g.systems.map((s, i) => {
      const { group, curve } = lanes.draw(sheet, marks, this.g, i, notes[i]!, { ...options, unit: u });
      s.group.append(group);
      this.parts.push(group);
      return curve;
    });
    this.breaths(sheet, marks, u);
    this.remarks(remarks, u);
    const layer = touch(sheet, marks, this.g, this.shifts, u, touched, lanes.heightOf(sheet, { ...options, unit: u }));
    this.g.margin.append(layer);
    this.parts.push(layer);
    this.moments = moments(sheet.timeline, this.g);
  }

  /** Sets the systems apart for what lies between them. */
  private spread(sheet: Sheet, options: Options, remarks: Remark[], u: number): void {
    const below = lanes.heightOf(sheet, { ...options, unit: u }) * u;
    const extents = this.g.systems.map((s, i) => {
      const lines = Math.max(0, ...remarks.filter((r) => r.system === i).map((r) => r.lines.length));
      return { top: Math.min(s.top, s.staffTop - 20 * u), bottom: s.bottom, above: lines * 17 * u, below };
    });
    const { shifts, height } = pack(extents, 20 * u);
    this.shifts = shifts;
    this.g.systems.forEach((s, i) => s.group.setAttribute('transform', `translate(0 ${shifts[i]!.toFixed(1)})`));
    const margin = this.g.margin.transform.baseVal.consolidate()?.matrix.f ?? 0;
    const inner = this.g.drawing.viewBox.baseVal, outer = this.g.outer.viewBox.baseVal;
    const all = height + 2 * margin, scale = outer.width / inner.width;
    this.g.drawing.setAttribute('viewBox', `0 0 ${inner.width} ${all.toFixed(0)}`);
    this.g.outer.setAttribute('viewBox', `0 0 ${outer.width} ${(all * scale).toFixed(1)}`);
  }

  private breaths(sheet: Sheet, marks: Written, u: number): void {
    const planned = new Map((sheet.mark.breaths ?? []).filter((b) => !b.printed).map((b) => [b.after, b]));
    for (const id of new Set([...planned.keys(), ...marks.breaths.keys()])) {
      const mark = marks.breaths.get(id);
      const head = this.lastHead(id);
      if (!head) continue;
      const s = this.g.systems[head.system]!, bar = this.g.bars[head.bar]!;
      const x = Math.min(this.gapAfter(id, head).middle, bar.right - 2 * u), y = s.staffTop - 10 * u;
      const kind = mark ? (mark.breath!.never ? 'breath coach never' : 'breath coach') : 'breath';
      const g = put(s.group, 'g', { class: kind, 'data-after': id });
      put(g, 'path', { d: comma(x, y, 13 * u) });
      if (mark?.breath!.never) put(g, 'path', { class: 'strike', d: `M${x - 7 * u} ${y + 13 * u}L${x + 9 * u} ${y - 5 * u}`, 'stroke-width': 1.5 * u });
      this.parts.push(g);
    }
  }

  private lastHead(id: string) {
    const t = (this.sheet?.timeline.notes ?? []).find((n) => n.id === id);
    return this.g.heads.get(t?.pieces?.at(-1) ?? id) ?? this.g.heads.get(id);
  }

  /** The room after a note, up to the next note or the bar line. */
  private gapAfter(id: string, head: { left: number; right: number; bar: number; system: number; x: number }) {
    const bar = this.g.bars[head.bar]!;
    let right = bar.right;
    for (const h of this.g.heads.values()) if (h.system === head.system && h.left > head.right && h.left < right) right = h.left;
    return { left: head.right, right, middle: (head.right + right) / 2 };
  }

  private remarkLines(marks: Written, u: number): Remark[] {
    const numbers = new Map((this.sheet?.timeline.bars ?? []).map((b) => [b.bar, b.index]));
    return marks.remarks.flatMap((m) => {
      const where = m.remark!.where ?? '';
      const index = this.g.heads.get(where)?.bar ?? numbers.get(where.split(/[.-]/)[0]!);
      const bar = index === undefined ? undefined : this.g.bars[index];
      if (!bar || m.remark!.take) return [];
      const s = this.g.systems[bar.system]!;
      const letters = Math.max(14, Math.floor((s.right - bar.left) / (7.2 * u)));
      return [{ id: m.id, system: bar.system, x: bar.left, lines: wrap(m.remark!.text, Math.min(letters, 44), 3) }];
    });
  }

  private remarks(remarks: Remark[], u: number): void {
    for (const r of remarks) {
      const s = this.g.systems[r.system]!;
      const base = Math.min(s.top, s.staffTop - 20 * u) - 5 * u;
      r.lines.forEach((line, i) => {
        const y = base - (r.lines.length - 1 - i) * 17 * u;
        this.parts.push(put(s.group, 'text', { class: 'remark', x: r.x, y, 'font-size': 14 * u, 'data-mark': r.id }, line));
      });
    }
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
    line.setAttribute('y2', String(s.staffBottom + 12 * u));
    const curve = this.curves[at.system] ?? [];
    dot.setAttribute('visibility', curve.length ? 'visible' : 'hidden');
    dot.setAttribute('cx', String(at.x));
    dot.setAttribute('cy', String(heightAt(curve, at.x)));
    const note = (this.sheet?.timeline.notes ?? []).findLast((n) => n.start_s <= time + 1e-3 && n.end_s > time);
    this.sounding = note ? (this.g.heads.get(note.id)?.group ?? null) : null;
    this.sounding?.classList.add('sounding');
    return at.system;
  }

  /** Where a note or bar is on the screen, from the drawing's corner. */
  spot(system: number, x: number): Spot {
    const u = this.unit, s = this.g.systems[system]!;
    const margin = this.g.margin.transform.baseVal.consolidate()?.matrix;
    const shift = (this.shifts[system] ?? 0) + (margin?.f ?? 0);
    return { x: (x + (margin?.e ?? 0)) / u, y: (s.staffBottom + shift) / u, top: (s.staffTop + shift) / u, bottom: (s.bottom + shift) / u };
  }
}

type Remark = { id: string; system: number; x: number; lines: string[] };

function cursorOf(u: number): SVGGElement {
  const g = make('g', { class: 'cursor', 'aria-hidden': 'true' });
  put(g, 'line', { 'stroke-width': 1.6 * u });
  put(g, 'circle', { r: 4.5 * u });
  return g;
}
