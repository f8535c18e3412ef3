// An engraved page with the lanes of a take under each system.
import type { Sheet } from '../lib/api';
import { numbering, places, range } from '../lib/bars';
import type { Heard } from '../lib/heard';
import { written } from '../lib/marks';
import { comma, make, put } from '../lib/score/draw';
import { Engraving } from '../lib/score/engraving';
import { place } from '../lib/score/moments';
import { lay, roomFor, write, type Said } from '../lib/score/remarks';
import { breathHeight, breathLane, breathsAt } from './lanes/breath';
import { lengthHeight, lengthLane } from './lanes/length';
import { expected, levelHeight, levelLane, middleLevel, type Step } from './lanes/level';
import { line, rect, text, type Shape } from './lanes/shape';
import { timeHeight, timeLane } from './lanes/time';
import { absentBars, placed, tones, type Placed } from './lanes/tones';
import { cross, tuneHeight, tuneLane } from './lanes/tune';
import { noteLayer, type NoteTouch } from './notelayer';
import { laneNames, lanes, type Lane, type Shown } from './view.svelte';
import { placeOf, type Run } from './where';

/** Heights of the lanes, and of the room over them, in CSS pixels. */
const heights: Record<Lane, number> = { cents: tuneHeight, time: timeHeight, length: lengthHeight, level: levelHeight, breath: breathHeight };
const over = 14, under = 8;
/** A page narrower than this, in CSS pixels, has no margin for names (estimate). */
const narrow = 560;

export type Played = { heard: Heard; sheet: Sheet; runs: Run[]; take: string };

export class TakePage extends Engraving {
  private all: Placed[] = [];
  private tall: number[] = []; // of each system's lanes, in CSS pixels

  static of(host: Element): TakePage | null {
    const g = Engraving.geometry(host);
    return g && new TakePage(g);
  }

  draw(p: Played, shown: Shown, touched: NoteTouch): void {
    this.clear(p.sheet.timeline);
    const u = this.unit;
    this.all = placed(tones(p.heard, p.sheet.timeline, shown.pass), p.sheet.timeline, this.g, u);
    const breaths = this.g.systems.map((_, i) => this.taken(p, i));
    const rows = breaths.map((b) => lanes.filter((l) => shown.open[l] && (l !== 'breath' || b.length > 0)));
    this.tall = rows.map((r) => over + r.reduce((sum, l) => sum + heights[l], 0) + under);
    const remarks = lay(this.said(p), this.g.systems, u);
    this.spread(roomFor(remarks, this.g.systems.length, u), this.tall.map((t) => t * u));
    this.g.systems.forEach((s, i) => s.group.append(this.keep(this.system(p, shown, i, rows[i]!, u))));
    this.staff(p, u);
    write(remarks, this.g.systems, u).forEach((e) => this.keep(e));
    this.cover(noteLayer(this.all, p, shown, this.g, this.shifts, u, this.tall, touched));
  }

  /** The lanes under one system. */
  private system(p: Played, shown: Shown, i: number, rows: readonly Lane[], u: number): SVGGElement {
    const s = this.g.systems[i]!, group = make('g', { class: 'lanes take-lanes', 'aria-hidden': 'true' });
    const here = this.all.filter((t) => t.head.system === i), crossing = this.all.filter((t) => t.spans.some((x) => x.system === i));
    let top = s.bottom + over * u;
    const ground = () => ({ left: s.left, right: s.right, top, u }), middle = middleLevel(p.heard.notes);
    const draws: Record<Lane, () => Shape[]> = {
      cents: () => tuneLane(here, this.extra(p, i), ground(), shown.own),
      time: () => timeLane(here, ground(), shown.steady),
      length: () => lengthLane(crossing, i, ground(), this.lengthSpoken(p)),
      level: () => levelLane(here, this.steps(p, i), expected(p.heard.passages ?? [], middle), middle, ground()),
      breath: () => breathLane(this.taken(p, i), ground()),
    };
    const first = top;
    const names: Shape[] = [];
    for (const lane of rows) {
      this.put(put(group, 'g', { class: `lane lane-${lane}` }), draws[lane]());
      names.push(this.name(lane, s.left, top, u));
      top += heights[lane] * u;
    }
    this.put(group, [...this.absences(p, i, first, top, u), ...names]);
    return group;
  }

  /** A lane's name stands in the margin; on a narrow page, which has none, under the clef. */
  private name(lane: Lane, left: number, top: number, u: number): Shape {
    const inside = this.g.drawing.viewBox.baseVal.width / u < narrow;
    return text('lane-name', inside ? left : left - 7 * u, top + baseline[lane] * u, (inside ? 12 : 13) * u, laneNames[lane][0], { 'text-anchor': inside ? 'start' : 'end' });
  }

  private put(group: SVGGElement, shapes: readonly Shape[]): void {
    for (const { name, at, text: words } of shapes) put(group, name, at, words);
  }

  /** Bars that the take does not have, washed out. */
  private absences(p: Played, system: number, top: number, bottom: number, u: number): Shape[] {
    const gone = new Set(absentBars(p.heard, p.sheet.timeline));
    const out: Shape[] = [];
    this.g.bars.forEach((b, i) => {
      if (b.system !== system || !gone.has(i)) return;
      const from = gone.has(i - 1) && this.g.bars[i - 1]?.system === system;
      out.push(rect('absent', b.left, top, b.right - b.left, bottom - top));
      if (!from) out.push(line('absent-edge', b.left, top, b.left, bottom, 0.8 * u), text('absent-name', b.start, top + 14 * u, 11.5 * u, 'not in this take', { 'text-anchor': 'start' }));
    });
    return out;
  }

  private extra(p: Played, system: number) {
    return (p.heard.extra ?? []).flatMap((e) => {
      const at = placeOf(p.runs, e.onset_s), m = at && place(this.moments, at.page);
      return m && m.system === system ? [{ x: m.x, pitch: e.pitch }] : [];
    });
  }

  /** Whether a finding on lengths speaks of a note: it lies in its bars, on its side of the take's middle. */
  private lengthSpoken(p: Played): (t: Placed) => boolean {
    const numbers = numbering(p.sheet.timeline);
    const all = p.heard.notes.flatMap((n) => (n.length_ratio === undefined ? [] : [n.length_ratio])).sort((a, b) => a - b);
    const usual = all[all.length >> 1] ?? 1;
    const where = p.heard.findings.filter((f) => f.kind === 'too-long' || f.kind === 'too-short').flatMap((f) => places(f, numbers).map((r) => ({ r, long: f.kind === 'too-long' })));
    return (t) => t.note.length_ratio !== undefined && where.some(({ r, long }) => t.head.bar >= r.from && t.head.bar <= r.to && (long ? t.note.length_ratio! > usual : t.note.length_ratio! < usual));
  }

  private steps(p: Played, system: number): Step[] {
    const numbers = numbering(p.sheet.timeline);
    return (p.heard.passages ?? []).flatMap((x) => {
      const r = range(x.bars, numbers);
      const bars = r ? this.g.bars.slice(r.from, r.to + 1).filter((b) => b.system === system) : [];
      if (bars.length === 0) return [];
      return [{ from: bars[0]!.start - 6 * this.unit, to: bars.at(-1)!.right, mark: x.mark }];
    });
  }

  private taken(p: Played, system: number) {
    const planned = new Set((p.sheet.mark.breaths ?? []).map((b) => b.after));
    const gone = new Set(absentBars(p.heard, p.sheet.timeline));
    return breathsAt(planned, p.heard.breaths ?? []).flatMap((b) => {
      const head = this.lastHead(b.after);
      return head && head.system === system && !gone.has(head.bar) ? [{ ...b, x: this.breathX(head) }] : [];
    });
  }

  private breathX(head: { left: number; right: number; bar: number; system: number }): number {
    return Math.min(this.gapAfter(head).middle, this.g.bars[head.bar]!.right - 2 * this.unit);
  }

  /** On the staff: the breaths that the page wants, notes that did not sound, and those that sounded otherwise. */
  private staff(p: Played, u: number): void {
    for (const b of p.sheet.mark.breaths ?? []) {
      const head = b.printed ? undefined : this.lastHead(b.after);
      if (!head) continue;
      const s = this.g.systems[head.system]!;
      put(this.keep(put(s.group, 'g', { class: 'breath' })), 'path', { d: comma(this.breathX(head), s.staffTop - 10 * u, 13 * u) });
    }
    for (const t of this.all) {
      if (t.note.state === 'played' || t.slot > 0) continue;
      const s = this.g.systems[t.head.system]!, g = this.keep(put(s.group, 'g', { class: 'on-head' }));
      if (t.note.state === 'missed') this.put(g as SVGGElement, cross(t.head.x, t.head.y, 6 * u, u, t.id));
      else put(g, 'circle', { class: 'other-head', cx: t.head.x, cy: t.head.y, r: 9 * u, 'stroke-width': 1.5 * u });
    }
  }

  /** Remarks on this take, where their moments are. */
  private said(p: Played): Said[] {
    return written(p.sheet).remarks.flatMap((m) => {
      const { take, at_s = 0, text } = m.remark!;
      const at = take === p.take ? placeOf(p.runs, at_s) : null, spot = at && place(this.moments, at.page);
      return spot ? [{ id: m.id, system: spot.system, x: Math.min(spot.x, this.g.systems[spot.system]!.right - 130 * this.unit), text }] : [];
    });
  }

  protected override reach(system: number): number {
    const s = this.g.systems[system]!;
    return s.bottom - s.staffBottom + (this.tall[system] ?? 0) * this.unit;
  }

  /** The note of this id as it is drawn, with its measures. */
  toneOf(id: string): Placed[] {
    return this.all.filter((t) => t.id === id);
  }

  /** Where a panel may hang: under the lanes of a note's system. */
  under(id: string): { x: number; y: number; top: number } | null {
    const head = this.g.heads.get(id);
    if (!head) return null;
    const s = this.spot(head.system, head.x);
    return { x: s.x, y: s.bottom + (this.tall[head.system] ?? 0), top: s.top };
  }

  /** Marks the column of a note through its lanes. */
  point(id: string): void {
    this.g.margin.querySelectorAll('.pointed').forEach((e) => e.remove());
    const head = this.g.heads.get(id);
    if (!head) return;
    const s = this.g.systems[head.system]!, u = this.unit;
    const g = make('g', { class: 'pointed' });
    this.put(g, [rect('column', head.x - 10 * u, s.staffTop - 14 * u, 20 * u, s.bottom - s.staffTop + (14 + (this.tall[head.system] ?? 0)) * u, { rx: 3 * u })]);
    s.group.prepend(g);
  }
}

/** Where a lane's name stands, below its top. */
const baseline: Record<Lane, number> = { cents: tuneHeight / 2 + 4, time: 24, length: 21, level: levelHeight / 2 + 4, breath: 16 };

