// A page with what is decided on it: lanes under each system, breaths, remarks,
// and what can be touched.
import type { Sheet } from '../api';
import { written, type Written } from '../marks';
import { comma, put } from './draw';
import { Engraving } from './engraving';
import * as lanes from './lanes';
import { lay, roomFor, write, type Said } from './remarks';
import { heightAt, type Point } from './slide';
import { touch, type Touch } from './touch';

export type Options = { slide: boolean; air: boolean; takes?: ReadonlyMap<string, string> };

export class Page extends Engraving {
  private sheet: Sheet | null = null;
  private curves: Point[][] = [];

  static of(host: Element): Page | null {
    const g = Engraving.geometry(host);
    return g && new Page(g);
  }

  /** Draws everything anew on the same engraving. */
  draw(sheet: Sheet, options: Options, touched: Touch): void {
    this.clear(sheet.timeline);
    this.sheet = sheet;
    const marks = written(sheet), u = this.unit;
    const remarks = lay(this.said(marks, options.takes), this.g.systems, u);
    const below = lanes.heightOf(sheet, { ...options, unit: u });
    this.spread(roomFor(remarks, this.g.systems.length, u), this.g.systems.map(() => below * u));
    const notes = lanes.placed(sheet, this.g);
    this.curves = this.g.systems.map((s, i) => {
      const { group, curve } = lanes.draw(sheet, marks, this.g, i, notes[i]!, { ...options, unit: u });
      s.group.append(this.keep(group));
      return curve;
    });
    this.breaths(sheet, marks, u);
    write(remarks, this.g.systems, u).forEach((e) => this.keep(e));
    this.cover(touch(sheet, marks, this.g, this.shifts, u, touched, below));
  }

  protected override dot(system: number, x: number): number | null {
    const curve = this.curves[system] ?? [];
    return curve.length ? heightAt(curve, x) : null;
  }

  private breaths(sheet: Sheet, marks: Written, u: number): void {
    const planned = new Map((sheet.mark.breaths ?? []).filter((b) => !b.printed).map((b) => [b.after, b]));
    for (const id of new Set([...planned.keys(), ...marks.breaths.keys()])) {
      const mark = marks.breaths.get(id);
      const head = this.lastHead(id);
      if (!head) continue;
      const s = this.g.systems[head.system]!, bar = this.g.bars[head.bar]!;
      const x = Math.min(this.gapAfter(head).middle, bar.right - 2 * u), y = s.staffTop - 10 * u;
      const kind = mark ? (mark.breath!.never ? 'breath coach never' : 'breath coach') : 'breath';
      const g = this.keep(put(s.group, 'g', { class: kind, 'data-after': id }));
      put(g, 'path', { d: comma(x, y, 13 * u) });
      if (mark?.breath!.never) put(g, 'path', { class: 'strike', d: `M${x - 7 * u} ${y + 13 * u}L${x + 9 * u} ${y - 5 * u}`, 'stroke-width': 1.5 * u });
    }
  }

  /** Remarks at their bars; those on a take say so. */
  private said(marks: Written, takes: ReadonlyMap<string, string> | undefined): Said[] {
    const numbers = new Map((this.sheet?.timeline.bars ?? []).map((b) => [b.bar, b.index]));
    return marks.remarks.flatMap((m) => {
      const { where = '', take, text } = m.remark!;
      const index = this.g.heads.get(where)?.bar ?? numbers.get(where.split(/[.-]/)[0]!);
      const bar = index === undefined ? undefined : this.g.bars[index];
      if (!bar) return [];
      return [{ id: m.id, system: bar.system, x: bar.left, text: take ? `${text} (${takes?.get(take) ?? 'in a take'})` : text }];
    });
  }
}
