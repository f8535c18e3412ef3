// The air in liters along the page: known at notes, and between them by the clock.
import type { Sheet } from '../api';
import type { Geometry } from './geometry';
import type { Point } from './slide';

export type Air = NonNullable<Sheet['air']>;

/**
 * The curve of each system, x in the drawing's units and y in liters. Between two
 * notes x follows the time; where the next note stands on another line, up to the
 * end of this one.
 */
export function spread(air: Pick<Air, 'points'>, g: Pick<Geometry, 'systems' | 'heads'>): Point[][] {
  const out: Point[][] = g.systems.map(() => []);
  const points = air.points ?? [];
  const heads = points.map((p) => (p.note ? g.heads.get(p.note) : undefined));
  let before = -1; // the last point that stands at a note
  points.forEach((p, i) => {
    const head = heads[i];
    if (head) {
      before = i;
      out[head.system]!.push({ x: head.x, y: p.litres });
      return;
    }
    const from = heads[before];
    if (!from) return;
    const next = heads.findIndex((h, k) => k > i && h);
    const to = heads[next];
    const end = to && to.system === from.system ? to.x : g.systems[from.system]!.right;
    const [t0, t1] = [points[before]!.at_s, points[next < 0 ? points.length - 1 : next]!.at_s];
    const share = t1 > t0 ? (p.at_s - t0) / (t1 - t0) : 1;
    out[from.system]!.push({ x: from.x + (end - from.x) * Math.min(share, 1), y: p.litres });
  });
  return out;
}
