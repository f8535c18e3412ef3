// The lanes under a system: the arm's path or the fingering, the valve, the air.
import type { MarkedNote, Sheet } from '../api';
import { spread, type Air } from './air';
import type { Written } from '../marks';
import { make, put } from './draw';
import type { Geometry, Head } from './geometry';
import { drawn, grid, moveTime, path, type Point, type Stop } from './slide';

/** Heights in CSS pixels. */
const sizes = { gap: 12, slide: 66, row: 18, valve: 12, air: 30, text: 12, small: 10 };

export type LaneOptions = { slide: boolean; air: boolean; unit: number };
type Placed = { note: MarkedNote; head: Head; last: Head; share: number };

/** What a system's lanes need below it, in CSS pixels. */
export function heightOf(sheet: Sheet, o: LaneOptions): number {
  const slide = sheet.horn.slide && o.slide ? sizes.slide + (usesValve(sheet) ? sizes.valve : 0) : sizes.row;
  return sizes.gap + slide + (airOf(sheet) && o.air ? sizes.air + 14 : 0) + 6;
}

/** The air, where the sheet has any: nobody's lungs leave no curve. */
export const airOf = (sheet: Sheet): Air | undefined => (sheet.air?.points?.length ? sheet.air : undefined);
export const usesValve = (sheet: Sheet): boolean => (sheet.mark.notes ?? []).some((n) => n.choice?.valve);

/** The notes of each system from left to right, with the share of the way to the next that the move takes. */
export function placed(sheet: Sheet, g: Geometry): Placed[][] {
  const out: Placed[][] = g.systems.map(() => []);
  const times = new Map<string, { start: number; end: number; pieces: string[] }>();
  for (const t of sheet.timeline.notes ?? []) if (!times.has(t.id)) times.set(t.id, { start: t.start_s, end: t.end_s, pieces: t.pieces ?? [t.id] });
  const notes = sheet.mark.notes ?? [];
  notes.forEach((note, i) => {
    const head = g.heads.get(note.id);
    const time = times.get(note.id);
    if (!head) return;
    const next = notes[i + 1] && times.get(notes[i + 1]!.id);
    const dt = time && next ? next.start - time.start : 0;
    const share = note.gliss ? 1 : time && next && dt > 0 ? moveTime(time.start, time.end, next.start) / dt : 1;
    const pieces = (time?.pieces ?? [note.id]).map((id) => g.heads.get(id)).filter((h): h is Head => !!h);
    for (const [s, list] of out.entries()) {
      const here = pieces.filter((h) => h.system === s);
      if (here.length) list.push({ note, head: here[0]!, last: here.at(-1)!, share });
    }
  });
  return out;
}

export type Drawn = { group: SVGGElement; curve: Point[] };

/** Draws one system's lanes; the curve is kept for the moving dot. */
export function draw(sheet: Sheet, marks: Written, g: Geometry, system: number, notes: Placed[], o: LaneOptions): Drawn {
  const s = g.systems[system]!, u = o.unit;
  const group = make('g', { class: 'lanes', 'aria-hidden': 'true' });
  let y = s.bottom + sizes.gap * u;
  let curve: Point[] = [];
  if (sheet.horn.slide && o.slide) {
    curve = slideLane(sheet, marks, group, s, notes, y, u);
    y += sizes.slide * u;
    if (usesValve(sheet)) {
      valveLine(group, notes, s.right, y + 2 * u, u);
      y += sizes.valve * u;
    }
  } else {
    row(group, marks, notes, y + sizes.text * u, u, sheet.horn.slide ? 'slide' : 'valves', s.left);
    y += sizes.row * u;
  }
  const air = airOf(sheet);
  if (air && o.air) airLane(air, group, g, system, y, u);
  return { group, curve };
}

function slideLane(sheet: Sheet, marks: Written, group: SVGGElement, s: { left: number; right: number }, notes: Placed[], top: number, u: number): Point[] {
  const ways = (sheet.mark.notes ?? []).flatMap((n) => (n.choice ? [n.choice, ...(n.others ?? [])] : []));
  const known = ways.filter((w) => w.valve === '').map((w) => ({ position: w.position, extension: w.extension_cm - w.lean_cm }));
  const lines = grid(known);
  const most = Math.max(lines[6]!, ...(sheet.mark.notes ?? []).map((n) => n.choice?.extension_cm ?? 0));
  const pad = 6 * u, room = (sizes.slide - 14) * u;
  const y = (cm: number) => top + pad + (cm / most) * room;
  lines.forEach((cm, i) => {
    put(group, 'line', { class: 'grid', x1: s.left, x2: s.right, y1: y(cm), y2: y(cm), 'stroke-width': 0.6 * u });
    if (i % 2 === 0) put(group, 'text', { class: 'scale', x: s.left - 5 * u, y: y(cm) + 3.4 * u, 'font-size': sizes.small * u, 'text-anchor': 'end' }, String(i + 1));
  });
  const curve: Point[] = [];
  for (const run of runs(notes)) {
    const stops: Stop[] = run.map((p) => ({ x: p.head.x, y: y(p.note.choice!.extension_cm), share: p.share }));
    const last = run.at(-1)!;
    const points = path(stops, Math.min(last.last.right + 10 * u, s.right));
    put(group, 'path', { class: 'curve', d: drawn(points), 'stroke-width': 1.4 * u });
    curve.push(...points);
  }
  for (const p of notes) {
    if (!p.note.choice) missing(group, p.head.x, y(most / 2), u);
    else label(group, p.note, marks, p.head.x, y(p.note.choice.extension_cm) + 4.2 * u, u);
  }
  return curve;
}

/** Stretches of notes that can be played, one curve each. */
function runs(notes: Placed[]): Placed[][] {
  const out: Placed[][] = [[]];
  for (const p of notes) {
    if (p.note.choice) out.at(-1)!.push(p);
    else if (out.at(-1)!.length) out.push([]);
  }
  return out.filter((r) => r.length);
}

function label(group: SVGGElement, note: MarkedNote, marks: Written, x: number, y: number, u: number): void {
  const pinned = marks.pins.has(note.id) || note.pinned;
  put(group, 'text', { class: pinned ? 'way pinned' : 'way', x, y, 'font-size': sizes.text * u, 'stroke-width': 4 * u, 'text-anchor': 'middle', 'data-note': note.id }, note.choice!.label);
}

function missing(group: SVGGElement, x: number, y: number, u: number): void {
  put(group, 'text', { class: 'way out', x, y, 'font-size': sizes.text * u, 'stroke-width': 4 * u, 'text-anchor': 'middle' }, '–');
}

function valveLine(group: SVGGElement, notes: Placed[], right: number, y: number, u: number): void {
  let before = '';
  notes.forEach((p, i) => {
    const valve = p.note.choice?.valve ?? '';
    if (valve) {
      const to = Math.min(notes[i + 1]?.head.x ?? p.last.right + 10 * u, right);
      put(group, 'line', { class: 'valve', x1: p.head.left, x2: to, y1: y, y2: y, 'stroke-width': 2 * u });
      if (valve !== before) put(group, 'text', { class: 'scale', x: p.head.left, y: y + 10.5 * u, 'font-size': sizes.small * u }, `${valve.replace(/b(?=$|[^a-z])/g, '♭')} valve`);
    }
    before = valve;
  });
}

function row(group: SVGGElement, marks: Written, notes: Placed[], y: number, u: number, name: string, left: number): void {
  put(group, 'title', {}, name);
  let free = left;
  for (const p of notes) {
    const text = p.note.choice?.label ?? '–';
    const half = (text.length * 3.4 + 1) * u;
    const x = Math.max(p.head.x, free + half);
    if (p.note.choice) label(group, p.note, marks, x, y, u);
    else missing(group, x, y, u);
    free = x + half;
  }
}

function airLane(air: Air, group: SVGGElement, g: Geometry, system: number, top: number, u: number): void {
  const s = g.systems[system]!, full = air.lines.full_l || air.capacity_l;
  const y = (l: number) => top + 8 * u + sizes.air * u * (1 - l / full);
  for (const [l, name] of [[full, 'grid'], [air.lines.comfortable_l, 'grid comfort'], [0, 'grid']] as const) {
    put(group, 'line', { class: name, x1: s.left, x2: s.right, y1: y(l), y2: y(l), 'stroke-width': 0.6 * u, 'stroke-dasharray': name === 'grid' ? undefined : `${3 * u} ${3 * u}` });
  }
  for (const l of [full, 0]) {
    put(group, 'text', { class: 'scale', x: s.left - 5 * u, y: y(l) + 3.4 * u, 'font-size': sizes.small * u, 'text-anchor': 'end' }, l ? `${l.toFixed(1)} l` : '0');
  }
  const points = spread(air, g)[system]!.map((p) => ({ x: p.x, y: y(p.y) }));
  if (points.length > 1) put(group, 'path', { class: 'air', d: drawn(points), 'stroke-width': 1.4 * u });
}
