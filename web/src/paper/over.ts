// What lies over an engraved part on paper: labels, breaths, rings with their
// letters, remarks; and the words of the page moved up to make room.
import type { Sheet } from '../lib/api';
import type { Range } from '../lib/bars';
import { written, type Written } from '../lib/marks';
import { put } from '../lib/score/draw';
import type { Geometry } from '../lib/score/geometry';
import * as lanes from '../lib/score/lanes';
import { wrap } from '../lib/score/layout';
import { ring } from '../lib/score/ring';
import { inkOf, type Ink } from './ink';
import { breaths, labels } from './labels';

/** A ring on the page and the letter that the walk names it by. */
export type Ring = { range: Range; letter: string };
export type Extent = { top: number; bottom: number }; // of a system and all that lies on it, in units of the drawing

/** Sizes in CSS pixels (estimates), a skyline's step among them. */
const sizes = { step: 0.4, ring: 5, letter: 10, remark: 12, line: 14, gap: 3 };

/** Draws everything over every system; how far each then reaches. */
export function over(sheet: Sheet, g: Geometry, rings: readonly Ring[], withLanes: boolean, u: number, width: number): Extent[] {
  const marks = written(sheet);
  const inks = g.systems.map((s) => inkOf(s, width * u, sizes.step * u));
  const notes = lanes.placed(sheet, g);
  if (!withLanes) inks.forEach((ink, i) => labels(g, i, notes[i]!, marks, ink.skyline, u));
  breaths(sheet, marks, g, inks.map((i) => i.skyline), u);
  for (const r of rings) drawRing(g, r, inks, u);
  g.systems.forEach((s, i) => makeRoom(inks[i]!, s.staffTop, g.space, u, width));
  remarks(sheet, marks, g, inks, u);
  return g.systems.map((s, i) => {
    const sky = inks[i]!.skyline, bottom = Math.max(sky.bottom(0, width * u), s.staffBottom);
    const extent = { top: sky.top(0, width * u), bottom };
    if (!withLanes) return extent;
    const options = { slide: true, air: false, unit: u };
    const { group } = lanes.draw(sheet, marks, { ...g, systems: g.systems.map((x, k) => (k === i ? { ...x, bottom } : x)) }, i, notes[i]!, options);
    s.group.append(group);
    thin(group, u);
    return { top: extent.top, bottom: bottom + lanes.heightOf(sheet, options) * u };
  });
}

/** Where quick notes stay in a position and there is no room, it is written once. */
function thin(lane: SVGGElement, u: number): void {
  let right = -Infinity, before = '';
  for (const way of lane.querySelectorAll<SVGTextElement>('.way')) {
    const box = way.getBBox();
    if (way.textContent === before && box.x < right + u) way.remove();
    else [right, before] = [box.x + box.width, way.textContent!];
  }
}

/** A pencil's ring around bars, one for each system, over everything that belongs to their notes. */
function drawRing(g: Geometry, r: Ring, inks: readonly Ink[], u: number): void {
  let first = true;
  g.systems.forEach((s, i) => {
    const bars = g.bars.slice(r.range.from, r.range.to + 1).filter((b) => b.system === i);
    if (bars.length === 0) return;
    const sky = inks[i]!.skyline;
    const left = Math.max(bars[0]!.left, bars[0]!.start - 2 * g.space), right = Math.max(...bars.map((b) => b.right));
    const pad = sizes.ring * u;
    const top = sky.top(left, right), bottom = Math.max(sky.bottom(left, right), s.staffBottom);
    const [x0, x1] = [left + 0.6 * pad, right - 0.6 * pad]; // the line runs along the bar lines
    put(s.group, 'path', { class: 'ring', d: ring({ x: x0, y: top, width: x1 - x0, height: bottom - top }, pad, r.range.from + i), 'stroke-width': 1.1 * u });
    sky.add(left, right, top - pad, bottom + pad);
    if (!first) return;
    first = false;
    const y = top - pad - 1.5 * u;
    put(s.group, 'text', { class: 'letter', x: x0.toFixed(0), y: y.toFixed(0), 'font-size': sizes.letter * u }, r.letter);
    sky.add(x0, x0 + sizes.letter * u, y - 0.75 * sizes.letter * u, y);
  });
}

/** Sets words and signs above the staff closely over what is written there by now, and inside the page; those on one line together. */
function makeRoom(ink: Ink, staffTop: number, space: number, u: number, width: number): void {
  const { skyline } = ink;
  for (const line of onOneLine(ink.movable, 2 * space)) {
    const right = Math.max(...line.map(({ box }) => box.x + box.width)), dx = Math.min(0, width * u - right);
    const stays = line.some(({ group }) => group.matches('.mNum, .voltaBracket, .hairpin')) ? 0 : Infinity;
    const lowest = staffTop - space; // words keep off the staff
    const dy = Math.min(stays, ...line.map(({ box }) => Math.min(lowest, skyline.top(box.x + dx - u, box.x + dx + box.width + u) - sizes.gap * u) - box.y - box.height));
    for (const { group, box } of line) {
      if (dx || dy) group.setAttribute('transform', `translate(${dx.toFixed(0)} ${dy.toFixed(0)})`);
      skyline.add(box.x + dx, box.x + dx + box.width, box.y + dy, box.y + box.height + dy);
    }
  }
}

/** Neighbors at about one height, the lowest lines first. */
function onOneLine(all: Ink['movable'], gap: number): Ink['movable'][] {
  const out: Ink['movable'][] = [];
  for (const m of [...all].sort((a, b) => a.box.x - b.box.x)) {
    const joined = out.find((line) => {
      const { box } = line.at(-1)!;
      const shared = Math.min(box.y + box.height, m.box.y + m.box.height) - Math.max(box.y, m.box.y);
      const ahead = m.box.x - box.x - box.width;
      return shared > 0 && ahead < gap && ahead > -gap / 2;
    });
    if (joined) joined.push(m);
    else out.push([m]);
  }
  const foot = (line: Ink['movable']) => Math.max(...line.map(({ box }) => box.y + box.height));
  return out.sort((a, b) => foot(b) - foot(a));
}

/** The coach's remarks over the bars they speak of. */
function remarks(sheet: Sheet, marks: Written, g: Geometry, inks: readonly Ink[], u: number): void {
  const numbers = new Map((sheet.timeline.bars ?? []).map((b) => [b.bar, b.index]));
  for (const m of marks.remarks) {
    const where = m.remark!.where ?? '';
    const index = g.heads.get(where)?.bar ?? numbers.get(where.split(/[.-]/)[0]!);
    const bar = index === undefined ? undefined : g.bars[index];
    if (!bar) continue;
    const s = g.systems[bar.system]!, sky = inks[bar.system]!.skyline;
    const lines = wrap(m.remark!.text, 44, 3);
    const texts = lines.map((line) => put(s.group, 'text', { class: 'remark', 'font-size': sizes.remark * u }, line));
    const wide = Math.max(...texts.map((t) => t.getComputedTextLength()));
    const x = Math.max(s.left, Math.min(bar.left, s.right - wide));
    const foot = sky.top(x, x + wide) - (sizes.gap + 2) * u;
    texts.forEach((t, i) => {
      t.setAttribute('x', x.toFixed(0));
      t.setAttribute('y', (foot - (lines.length - 1 - i) * sizes.line * u).toFixed(0));
    });
    sky.add(x, x + wide, foot - lines.length * sizes.line * u, foot + 2 * u);
  }
}
