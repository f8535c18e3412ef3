import { expect, test } from 'vitest';
import type { Timeline } from '../api';
import { spread } from './air';
import { pack, wrap } from './layout';
import { place, sameplace } from './moments';
import { lay, roomFor } from './remarks';
import { around, ring } from './ring';
import { grid, heightAt, minimumJerk, moveTime, path } from './slide';

// Reference: closed form of the minimum-jerk motion, Flash and Hogan, Journal of
// Neuroscience 5 (1985): x = 10 s³ − 15 s⁴ + 6 s⁵, peak speed 15/8 of the mean.
test('the slide moves with minimum jerk', () => {
  expect([0, 0.5, 1].map(minimumJerk)).toEqual([0, 0.5, 1]);
  expect(minimumJerk(0.25)).toBeCloseTo(10 / 64 - 15 / 256 + 6 / 1024, 12);
  const h = 1e-5;
  expect((minimumJerk(0.5 + h) - minimumJerk(0.5 - h)) / (2 * h)).toBeCloseTo(15 / 8, 6);
  for (const end of [0, 1]) expect(minimumJerk(end + h) - minimumJerk(end - h)).toBeCloseTo(0, 9);
});

test('a move arrives as the next note starts and leaves no earlier than its share', () => {
  const points = path([{ x: 0, y: 10, share: 0.25 }, { x: 100, y: 50, share: 1 }], 120);
  expect(heightAt(points, 75)).toBe(10);
  expect(heightAt(points, 87.5)).toBeCloseTo(30, 6);
  expect(heightAt(points, 100)).toBe(50);
  expect(points.at(-1)).toEqual({ x: 120, y: 50 });
  for (let i = 1; i < points.length; i++) expect(points[i]!.x).toBeGreaterThanOrEqual(points[i - 1]!.x);
});

test('a move takes the silence before the next note, within reason', () => {
  expect(moveTime(0, 0.3, 0.5)).toBeCloseTo(0.2);
  expect(moveTime(0, 0.5, 0.5)).toBeCloseTo(0.12);
  expect(moveTime(0, 0.5, 4)).toBeCloseTo(0.35);
  expect(moveTime(0, 0.05, 0.1)).toBeCloseTo(0.085);
});

test('positions lie where half steps of the tube put them', () => {
  const cm = grid([{ position: 6, extension: 45.9 }]);
  expect(cm).toHaveLength(7);
  expect(cm[0]).toBe(0);
  expect(cm[5]).toBeCloseTo(45.9);
  expect(cm[6]! / cm[5]!).toBeCloseTo((Math.SQRT2 - 1) / (2 ** (5 / 12) - 1), 9);
});

test('a ring is closed and goes around its box, near it', () => {
  const box = { x: 100, y: 50, width: 300, height: 80 }, slack = 10;
  for (let seed = 0; seed < 50; seed++) {
    const d = ring(box, slack, seed);
    expect(d.endsWith('Z')).toBe(true);
    const n = d.match(/-?[\d.]+/g)!.map(Number);
    const xs = n.filter((_, i) => i % 2 === 0), ys = n.filter((_, i) => i % 2 === 1);
    expect(Math.min(...xs)).toBeLessThan(box.x);
    expect(Math.min(...xs)).toBeGreaterThan(box.x - slack);
    expect(Math.max(...xs)).toBeGreaterThan(box.x + box.width);
    expect(Math.min(...ys)).toBeLessThan(box.y);
    expect(Math.max(...ys)).toBeLessThan(box.y + box.height + slack);
  }
  expect(ring(box, slack, 3)).toBe(ring(box, slack, 3));
  expect(around([{ x: 0, y: 5, width: 2, height: 2 }, { x: 5, y: 0, width: 1, height: 3 }])).toEqual({ x: 0, y: 0, width: 6, height: 7 });
  expect(around([])).toBeNull();
});

test('systems make room for what lies between them and never touch', () => {
  const systems = [{ top: 10, bottom: 50, above: 5, below: 30 }, { top: 60, bottom: 90, above: 0, below: 30 }];
  const { shifts, height } = pack(systems, 8);
  expect(systems[0]!.top - systems[0]!.above + shifts[0]!).toBe(0);
  const first = systems[0]!.bottom + systems[0]!.below + shifts[0]!;
  expect(systems[1]!.top + shifts[1]! - first).toBe(8);
  expect(height).toBe(systems[1]!.bottom + systems[1]!.below + shifts[1]!);
});

test('long remarks are broken, and cut with an ellipsis', () => {
  expect(wrap('lean into the second beat', 10, 3)).toEqual(['lean into', 'the second', 'beat']);
  expect(wrap('lean into the second beat', 10, 2)).toEqual(['lean into', 'the second…']);
});

test('remarks that would meet stand above one another, others in one row', () => {
  const systems = [{ right: 1000 }, { right: 1000 }];
  const said = (id: string, system: number, x: number, text = 'a long remark at this place') => ({ id, system, x, text });
  const all = lay([said('c', 0, 700, 'short'), said('a', 0, 0), said('b', 0, 50), said('d', 1, 60)], systems, 1);
  expect(all.map((r) => [r.id, r.row])).toEqual([['a', 0], ['b', 1], ['d', 0], ['c', 0]]);
  expect(roomFor(all, 3, 1)).toEqual([34, 17, 0]);
  expect(lay([said('e', 0, 950, 'more words than the margin holds')], systems, 1)[0]!.lines.length).toBeGreaterThan(1);
});

test('the cursor moves evenly between notes and jumps between lines', () => {
  const all = [{ at: 0, system: 0, x: 0, bar: 0 }, { at: 1, system: 0, x: 100, bar: 0 }, { at: 1, system: 1, x: 20, bar: 1 }, { at: 3, system: 1, x: 60, bar: 1 }];
  expect(place(all, 0.25)!.x).toBe(25);
  expect(place(all, 1)).toMatchObject({ system: 1, x: 20 });
  expect(place(all, 2)!.x).toBe(40);
  expect(place([], 1)).toBeNull();
});

test('another tempo keeps the place in its turn of the bar', () => {
  const at = (factor: number): Timeline => ({ seconds: 4 * factor, tempo_bpm: 60, unit: 'half', notes: [], beats: [], bars: [0, 1, 2].map((i) => ({ bar: String(i + 1), index: i, pass: 1, start_s: i * factor })) });
  expect(sameplace(at(1), at(2), 1.5)).toBe(3);
  expect(sameplace(at(1), at(2), 3)).toBe(6);
});

test('air between notes follows the clock, to the end of the line where the next note stands below', () => {
  const head = (system: number, x: number) => ({ system, x, bar: 0, left: x, right: x, y: 0, group: null as unknown as SVGGElement });
  const system = { right: 300 } as never;
  const points = [
    { at: '0', at_s: 0, litres: 4, note: 'a' }, { at: '', at_s: 1, litres: 3 }, { at: '', at_s: 2, litres: 2, note: 'b' },
    { at: '', at_s: 3, litres: 1 }, { at: '', at_s: 4, litres: 4, note: 'c' },
  ];
  const heads = new Map([['a', head(0, 0)], ['b', head(0, 100)], ['c', head(1, 20)]]);
  expect(spread({ points }, { systems: [system, system], heads })).toEqual([[{ x: 0, y: 4 }, { x: 50, y: 3 }, { x: 100, y: 2 }, { x: 200, y: 1 }], [{ x: 20, y: 4 }]]);
});
