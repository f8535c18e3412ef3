// The lane of intonation: a dash at each note's deviation, its uncertainty as a
// whisker, the course of the pitch where it is large, what sounded instead.
import { pitch } from '../../lib/words';
import { coverage, drifts, falls, scoops, signed, speaksTune, tuneLimit } from '../numbers';
import type { Placed } from './tones';
import { line, path, rect, set, type Ground, type Label, type Shape } from './shape';

/** Height in CSS pixels; pixels of a cent; cents at which a dash stays at the edge. */
export const tuneHeight = 60, perCent = 0.8, edge = 32;

/** How far below the lane's top a deviation lies, in CSS pixels; sharp is up. */
export function heightOf(cents: number): number {
  return tuneHeight / 2 - perCent * Math.min(Math.max(cents, -edge), edge);
}

export type Extra = { x: number; pitch: string };

/** The lane of one system's notes: cents of the take's own tuning, or against the reference A. */
export function tuneLane(notes: readonly Placed[], extra: readonly Extra[], { left, right, top, u }: Ground, own: boolean): Shape[] {
  const y = (cents: number) => top + heightOf(cents) * u;
  const out: Shape[] = [
    rect('band', left, y(tuneLimit), right - left, y(-tuneLimit) - y(tuneLimit)),
    line('grid', left, y(0), right, y(0), 0.6 * u),
  ];
  const labels: Label[] = [];
  for (const t of notes) {
    if (t.note.state === 'missed') out.push(...cross(t.x, y(0), 4 * u, u, t.id));
    else if (t.note.state === 'other') labels.push({ x: t.x, y: y(0) + 4 * u, words: pitch(t.note.heard ?? '?'), up: true, name: 'number other', data: { 'data-id': t.id } });
    else if (t.note.onset_s !== undefined) out.push(...dash(t, own, y, u, labels));
  }
  for (const e of extra) {
    out.push(path('extra', `M${e.x} ${y(0) - 4 * u}l${4 * u} ${4 * u}l${-4 * u} ${4 * u}l${-4 * u} ${-4 * u}z`, 1.2 * u));
    labels.push({ x: e.x, y: y(0) + 16 * u, words: `+${pitch(e.pitch)}`, up: false, name: 'number extra-name' });
  }
  return [...out, ...set(labels, 11 * u)];
}

function dash(t: Placed, own: boolean, y: (cents: number) => number, u: number, labels: Label[]): Shape[] {
  const n = t.note, cents = (own ? n.cents_own : n.cents)!, c = n.contour!;
  const large = speaksTune(n, cents), at = y(cents);
  const course = { contour: c, onset_s: n.onset_s!, offset_s: n.offset_s! };
  const tilt = drifts(course) ? c.drift_cents / 2 : 0;
  const name = large ? 'dash large' : 'dash';
  const out: Shape[] = [];
  const doubt = coverage * n.uncertainty!.cents;
  if (doubt >= 1) out.push(line('whisker', t.x, y(cents + doubt), t.x, y(cents - doubt), 0.9 * u));
  out.push(line(name, t.x - t.half, y(cents - tilt), t.x + t.half, y(cents + tilt), (large ? 3 : 2) * u, { 'data-id': t.id, 'data-pass': t.pass }));
  if (scoops(course)) out.push(path(`${name} course`, `M${t.x - t.half} ${y(cents + c.scoop_cents)}Q${t.x - t.half * 0.7} ${at} ${t.x - t.half * 0.1} ${at}`, 1.3 * u));
  if (falls(course)) out.push(path(`${name} course`, `M${t.x + t.half * 0.1} ${at}Q${t.x + t.half * 0.7} ${at} ${t.x + t.half} ${y(cents + c.fall_cents)}`, 1.3 * u));
  if (n.split) out.push(fork(t.x - t.half, at, u, t.id));
  if (large) labels.push({ x: t.x, y: cents > 0 ? at - 5 * u : at + 13 * u, words: signed(cents), up: cents > 0, name: 'number', data: { 'data-id': t.id, 'data-pass': t.pass } });
  return out;
}

/** A note that does not sound. */
export function cross(x: number, y: number, size: number, u: number, id: string): Shape[] {
  const d = `M${x - size} ${y - size}L${x + size} ${y + size}M${x + size} ${y - size}L${x - size} ${y + size}`;
  return [path('halo', d, 4.5 * u), path('missed', d, 1.8 * u, { 'data-id': id })];
}

/** A note that splits: its start parts in two. */
function fork(x: number, y: number, u: number, id: string): Shape {
  return path('split', `M${x - 6 * u} ${y - 6 * u}L${x} ${y}L${x - 6 * u} ${y + 6 * u}`, 1.6 * u, { 'data-id': id });
}
