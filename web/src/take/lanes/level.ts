// The lane of level: a dash at each note's dB over the middle of the take, and
// behind it the steps that the printed dynamics ask for.
import type { Placed } from './tones';
import { coverage } from '../numbers';
import { line, path, text, type Ground, type Shape } from './shape';

/** Height in CSS pixels; pixels of a dB; dB at which a dash stays at the edge. */
export const levelHeight = 48, perDB = 1.5, levelEdge = 13;

/** Order of the markings, soft to loud. */
const order = ['ppp', 'pp', 'p', 'mp', 'mf', 'f', 'ff', 'fff'];
/** Decibels from one marking to the next (common practice: 3 to 5 dB are a clear step). */
export const stepDB = 4;

/** A printed marking along a line. */
export type Step = { from: number; to: number; mark: string };

export function levelY(db: number): number {
  return levelHeight / 2 - perDB * Math.min(Math.max(db, -levelEdge), levelEdge);
}

/** Decibels that each marking asks for, so that together they lie in the middle of what was played. */
export function expected(passages: readonly { mark: string; level_db: number }[], middle: number): Map<string, number> {
  const known = passages.filter((p) => order.includes(p.mark));
  if (new Set(known.map((p) => p.mark)).size < 2) return new Map();
  const off = known.map((p) => p.level_db - middle - order.indexOf(p.mark) * stepDB).sort((a, b) => a - b);
  const base = (off[(off.length - 1) >> 1]! + off[off.length >> 1]!) / 2;
  return new Map(known.map((p) => [p.mark, base + order.indexOf(p.mark) * stepDB]));
}

/** The middle of the levels of all notes that sound. */
export function middleLevel(notes: readonly { level_db?: number }[]): number {
  const all = notes.flatMap((n) => (n.level_db === undefined ? [] : [n.level_db])).sort((a, b) => a - b);
  return all[all.length >> 1] ?? 0;
}

/** `wants` are the decibels over `middle` that each marking asks for. */
export function levelLane(notes: readonly Placed[], steps: readonly Step[], wants: ReadonlyMap<string, number>, middle: number, { left, right, top, u }: Ground): Shape[] {
  const y = (db: number) => top + levelY(db) * u;
  const out: Shape[] = [line('grid', left, y(0), right, y(0), 0.6 * u)];
  for (const s of steps) {
    const db = wants.get(s.mark);
    if (db === undefined) continue;
    out.push(line('step', s.from, y(db), s.to, y(db), 5 * u), text('step-name', s.from - 3 * u, y(db) + 3.5 * u, 12 * u, s.mark, { 'text-anchor': 'end' }));
  }
  const sounding = notes.filter((t) => t.note.level_db !== undefined);
  for (const pass of new Set(sounding.map((t) => t.pass))) {
    const points = sounding.filter((t) => t.pass === pass).map((t) => `${t.x.toFixed(0)} ${y(t.note.level_db! - middle).toFixed(0)}`);
    if (points.length > 1) out.push(path('thread', `M${points.join('L')}`, 0.7 * u));
  }
  for (const t of sounding) {
    const db = t.note.level_db! - middle, doubt = coverage * (t.note.uncertainty?.level_db ?? 0);
    if (doubt >= 0.7) out.push(line('whisker', t.x, y(db + doubt), t.x, y(db - doubt), 0.9 * u));
    out.push(line('dash', t.x - t.half * 0.75, y(db), t.x + t.half * 0.75, y(db), 2 * u, { 'data-id': t.id, 'data-pass': t.pass }));
  }
  return out;
}
