// Where everything stands in an engraving, in the units of its drawing: systems,
// bars and notes, read once before anything is moved.
import { around, type Box } from './ring';

export type System = { group: SVGGElement; left: number; right: number; staffTop: number; staffBottom: number; top: number; bottom: number };
export type Bar = { system: number; left: number; right: number; start: number; box: Box };
export type Head = { system: number; bar: number; left: number; right: number; x: number; y: number; group: SVGGElement };
/** bars has every bar by its index in the part; those inside a rest of several bars stand where it is drawn. drawn are the indexes of the others. */
export type Geometry = { systems: System[]; bars: Bar[]; drawn: number[]; heads: Map<string, Head>; margin: SVGGElement; drawing: SVGSVGElement; outer: SVGSVGElement; space: number };

/** Reads an engraving that is in the document. */
export function read(host: Element): Geometry | null {
  const outer = host.querySelector<SVGSVGElement>('svg');
  const drawing = host.querySelector<SVGSVGElement>('svg.definition-scale');
  const margin = host.querySelector<SVGGElement>('g.page-margin');
  if (!outer || !drawing || !margin) return null;
  const g: Geometry = { systems: [], bars: [], drawn: [], heads: new Map(), margin, drawing, outer, space: 180 };
  margin.querySelectorAll<SVGGElement>('g.system').forEach((group, i) => {
    const words = raiseWords(group);
    const box = boxWithout(group, 'g.tempo');
    const s: System = { group, left: Infinity, right: -Infinity, staffTop: 0, staffBottom: 0, top: Math.min(box.y, words), bottom: box.y + box.height };
    g.systems.push(s);
    group.querySelectorAll<SVGGElement>('g.measure').forEach((m) => readBar(g, m, i, s));
  });
  fillRests(g);
  return g;
}

/** The index of a bar in the part: its id says, as a rest of several bars is drawn as its first. */
function indexOf(measure: Element, drawn: number): number {
  return Number(/^bar-(\d+)$/.exec(measure.id)?.[1] ?? drawn);
}

/** Bars inside a rest of several bars share the width of what is drawn for it. */
function fillRests(g: Geometry): void {
  g.drawn.forEach((first, k) => {
    const bars = (g.drawn[k + 1] ?? g.bars.length) - first, whole = g.bars[first]!;
    if (bars < 2) return;
    const width = (whole.right - whole.left) / bars;
    for (let i = 0; i < bars; i++) {
      const left = whole.left + i * width;
      g.bars[first + i] = { ...whole, left, right: left + width, start: left, box: { ...whole.box, x: left, width } };
    }
  });
}

function readBar(g: Geometry, measure: SVGGElement, system: number, s: System): void {
  const lines = [...measure.querySelectorAll<SVGPathElement>('g.staff > path')].map((p) => p.getBBox());
  const staff = around(lines);
  if (!staff) return;
  g.space = staff.height / 4 || g.space;
  const bar = indexOf(measure, g.bars.length);
  const boxes: Box[] = [staff];
  let start = Infinity;
  measure.querySelectorAll<SVGGElement>('g.note, g.rest, g.mRest').forEach((note) => {
    const head = note.querySelector<SVGGElement>('.notehead') ?? note;
    const b = head.getBBox();
    boxes.push(note.getBBox());
    start = Math.min(start, b.x + b.width / 2);
    if (note.classList.contains('note')) {
      g.heads.set(note.id, { system, bar, left: b.x, right: b.x + b.width, x: b.x + b.width / 2, y: b.y + b.height / 2, group: note });
    }
  });
  s.left = Math.min(s.left, staff.x);
  s.right = Math.max(s.right, staff.x + staff.width);
  s.staffTop = staff.y;
  s.staffBottom = staff.y + staff.height;
  g.drawn.push(bar);
  g.bars[bar] = { system, left: staff.x, right: staff.x + staff.width, start: Number.isFinite(start) ? start : staff.x, box: around(boxes)! };
}

/**
 * Lifts tempo words off what they would cover, as the engraver measures them in
 * another type than they are set in; how high they reach then. Their own boxes are
 * of no use: the font of the beat's note has lines several staffs high.
 */
export function raiseWords(system: SVGGElement): number {
  let top = Infinity;
  const notes = [...system.querySelectorAll<SVGGElement>('g.note, g.artic, g.slur, g.multiRest')].map((e) => e.getBBox());
  for (const w of system.querySelectorAll<SVGGElement>('g.tempo')) {
    const baseline = Number(w.querySelector('text[y]')?.getAttribute('y'));
    if (!baseline) continue;
    const box = w.getBBox();
    const under = notes.filter((n) => n.x < box.x + box.width && n.x + n.width > box.x).map((n) => n.y);
    const lift = Math.max(baseline + descent - Math.min(...under, Infinity), 0);
    if (lift > 0) w.setAttribute('transform', `translate(0 ${-lift.toFixed(0)})`);
    top = Math.min(top, baseline - lift - ascent);
  }
  return top;
}

/** How far tempo words reach over and under their baseline, with some air, in the drawing's units (estimates). */
const ascent = 480, descent = 130;

function boxWithout(group: SVGGElement, selector: string): DOMRect {
  const left = [...group.querySelectorAll<SVGGElement>(selector)];
  for (const e of left) e.style.display = 'none';
  const box = group.getBBox();
  for (const e of left) e.style.display = '';
  return box;
}
