// What an engraving has drawn, box by box, in the units of its drawing.
import type { Box } from '../lib/score/ring';
import type { System } from '../lib/score/geometry';
import { Skyline } from './skyline';

/** Groups that may be moved up to make room: words and signs that belong to no single note. */
const movable = 'g.tempo, g.dir, g.reh, g.dynam, g.hairpin, g.voltaBracket, g.mNum';
const drawnBy = 'path, use, text, polygon, polyline, rect, ellipse, line';
/** Pieces in which curves and slanted lines are looked at (estimate: finer than a label is wide). */
const pieces = 32;

export type Ink = { skyline: Skyline; movable: { group: SVGGElement; box: Box }[] };

/** The box of an element in the coordinates of its system. */
export function boxOf(e: SVGGraphicsElement): Box {
  const b = e.getBBox(), m = e.transform.baseVal.consolidate()?.matrix;
  if (!m) return b;
  const [x0, x1] = [m.a * b.x + m.e, m.a * (b.x + b.width) + m.e], [y0, y1] = [m.d * b.y + m.f, m.d * (b.y + b.height) + m.f];
  return { x: Math.min(x0, x1), y: Math.min(y0, y1), width: Math.abs(x1 - x0), height: Math.abs(y1 - y0) };
}

/** A note in a metronome mark reaches this far above and below its line, in units of the drawing (measured: its type is 720 units large). */
const metronome = { above: 560, below: 130 };

/** The box of words. Type for music has lines several times as high as its signs. */
function boxOfWords(group: SVGGElement): Box {
  const box = group.getBBox(), line = Number(group.querySelector('text')?.getAttribute('y'));
  if (!line || !group.querySelector('[font-family="Leipzig"]')) return box;
  return { x: box.x, width: box.width, y: line - metronome.above, height: metronome.above + metronome.below };
}

/** Reads a system: all that stays, and above the staff all that may move. */
export function inkOf(s: System, width: number, step: number): Ink {
  const skyline = new Skyline(0, width, step);
  skyline.add(s.left, s.right, s.staffTop, s.staffBottom);
  const moves = [...s.group.querySelectorAll<SVGGElement>(movable)].map((group) => ({ group, box: boxOfWords(group) }))
    .filter(({ box }) => box.width > 0 && box.y + box.height / 2 < s.staffTop);
  const moved = new Set(moves.map((m) => m.group));
  for (const e of s.group.querySelectorAll<SVGGraphicsElement>(drawnBy)) {
    if (e.parentElement!.matches('g.staff') || [...moved].some((g) => g.contains(e))) continue;
    add(skyline, e);
  }
  return { skyline, movable: moves };
}

function add(skyline: Skyline, e: SVGGraphicsElement): void {
  const b = boxOf(e);
  if (b.width === 0 && b.height === 0) return;
  const long = e instanceof SVGGeometryElement && e.closest('g.slur, g.tie, g.lv, g.phrase, g.hairpin, g.gliss, g.beam, g.tuplet') && b.width > 200;
  if (!long) return skyline.add(b.x, b.x + b.width, b.y, b.y + b.height);
  const length = e.getTotalLength();
  let before = e.getPointAtLength(0);
  for (let k = 1; k <= 2 * pieces; k++) {
    const at = e.getPointAtLength((length * k) / (2 * pieces));
    skyline.add(Math.min(before.x, at.x), Math.max(before.x, at.x), Math.min(before.y, at.y), Math.max(before.y, at.y));
    before = at;
  }
}
