import { expect, test } from 'vitest';
import type { Timeline } from '../../lib/api';
import type { Heard, HeardNote } from '../../lib/heard';
import type { Head } from '../../lib/score/geometry';
import { breathLane, breathsAt } from './breath';
import { filled, lengthLane } from './length';
import { expected, levelLane, levelY, middleLevel, stepDB } from './level';
import { set, type Shape } from './shape';
import { perMs, timeLane, widthOf } from './time';
import { absent, absentBars, passes, placed, tones, type Placed } from './tones';
import { edge, heightOf, perCent, tuneHeight, tuneLane } from './tune';

const uncertainty = { onset_ms: 1, late_ms: 2, cents: 0.1, length_ratio: 0.02, level_db: 0.1, brighter_pct: 1, attack_ms: 1 };
const contour = { scoop_cents: 0, scoop_s: 0, fall_cents: 0, fall_s: 0, drift_cents: 0, waver_cents: 0, vibrato_hz: 0, vibrato_cents: 0 };
const head = (x: number, bar = 0): Head => ({ system: 0, bar, left: x - 5, right: x + 5, x, y: 0, group: null as unknown as SVGGElement });
const heard = (n: Partial<HeardNote>): HeardNote => ({
  id: 'a', bar: '1', pitch: 'D4', state: 'played', onset_s: 1, offset_s: 2, cents: 4, cents_own: 0, late_ms: 0, late_steady_ms: 0, length_ratio: 0.8, level_db: -20, split: false, contour, uncertainty, ...n,
});
const at = (x: number, n: Partial<HeardNote>): Placed => ({ note: heard(n), id: n.id ?? 'a', pass: 1, start: 0, end: 1, slot: 0, slots: 1, index: 0, head: head(x), x, half: 8, spans: [{ system: 0, from: x, to: x + 40 }] });
const ground = (right = 300, top = 0, u = 10) => ({ left: 0, right, top, u });
const of = (shapes: Shape[], name: string) => shapes.filter((s) => String(s.at.class).split(' ').includes(name));

test('a dash stands at its deviation: sharp up, and at the edge beyond', () => {
  expect(heightOf(0)).toBe(tuneHeight / 2);
  expect(heightOf(0) - heightOf(10)).toBeCloseTo(10 * perCent);
  expect(heightOf(-10)).toBeGreaterThan(heightOf(0));
  expect(heightOf(200)).toBe(heightOf(edge));
  const u = 10, shapes = tuneLane([at(100, { cents_own: 30 }), at(200, { cents_own: -3 })], [], ground(300, 50, u), true);
  expect(of(shapes, 'dash').map((s) => s.at.y1)).toEqual([50 + heightOf(30) * u, 50 + heightOf(-3) * u].map((y) => Math.round(y * 10) / 10));
  expect(of(shapes, 'large')).toHaveLength(1);
  expect(of(shapes, 'number').map((s) => s.text)).toEqual(['+30']);
});

test('brass never stands without its number, and small deviations have neither', () => {
  for (const cents of [-40, -20, -12, 0, 9, 14, 60]) {
    const shapes = tuneLane([at(100, { cents_own: cents })], [], ground(), true);
    expect(of(shapes, 'large').length).toBe(of(shapes, 'number').length);
  }
  const own = tuneLane([at(100, { cents_own: 0, cents: 20 })], [], ground(), true), reference = tuneLane([at(100, { cents_own: 0, cents: 20 })], [], ground(), false);
  expect([of(own, 'number'), of(reference, 'number')].map((s) => s.map((x) => x.text))).toEqual([[], ['+20']]);
});

test('what is missing, other, split, unsure, scooped or too much has a shape of its own', () => {
  const missed: HeardNote = { id: 'm', bar: '1', pitch: 'F2', state: 'missed' };
  const shapes = tuneLane(
    [{ ...at(50, {}), note: missed }, at(100, { state: 'other', heard: 'Bb3' }), at(150, { split: true }), at(200, { uncertainty: { ...uncertainty, cents: 5 } }), at(250, { contour: { ...contour, scoop_cents: -40, scoop_s: 0.1 } })],
    [{ x: 300, pitch: 'C3' }], ground(400), true,
  );
  expect(['missed', 'split', 'whisker', 'course', 'extra'].map((n) => of(shapes, n).length)).toEqual([1, 1, 1, 1, 1]);
  expect(of(shapes, 'number').map((s) => s.text)).toEqual(['B♭3', '+C3']);
  const whisker = of(shapes, 'whisker')[0]!;
  expect(Number(whisker.at.y2) - Number(whisker.at.y1)).toBeCloseTo(2 * 2 * 5 * perCent * 10, 0);
});

test('early lies left of the beat, late right', () => {
  expect([widthOf(50), widthOf(-50)]).toEqual([50 * perMs, -50 * perMs]);
  expect(widthOf(1000)).toBe(-widthOf(-1000));
  const bar = (ms: number) => of(timeLane([at(100, { late_ms: ms })], ground(200, 0, 1), false), 'lateness')[0]!.at;
  expect(Number(bar(-40).x)).toBeLessThan(100);
  expect(Number(bar(-40).x) + Number(bar(-40).width)).toBeCloseTo(100, 1);
  expect(bar(40).x).toBe(100);
  expect(of(timeLane([at(100, { late_ms: -70, late_steady_ms: 3 })], ground(200, 0, 1), false), 'number').map((s) => s.text)).toEqual(['−70']);
  expect(of(timeLane([at(100, { late_ms: -70, late_steady_ms: 3 })], ground(200, 0, 1), true), 'number')).toEqual([]);
});

test('a length fills its written spans from the left, over a tie and beyond', () => {
  const spans = [{ from: 0, to: 100 }, { from: 20, to: 120 }];
  expect(filled(spans, 0.25)).toEqual([{ from: 0, to: 50 }]);
  expect(filled(spans, 0.75)).toEqual([{ from: 0, to: 100 }, { from: 20, to: 70 }]);
  expect(filled(spans, 1.1)[1]!.to).toBeCloseTo(140);
  const shapes = lengthLane([at(100, { length_ratio: 0.5 })], 0, ground(300, 0, 1), () => true);
  expect(of(shapes, 'ghost')[0]!.at.width).toBe(40);
  expect(of(shapes, 'sounding-bar')[0]!.at.width).toBe(20);
  expect(of(shapes, 'number').map((s) => s.text)).toEqual(['.50']);
});

test('markings ask for steps around the middle of what was played', () => {
  const wants = expected([{ mark: 'p', level_db: -30 }, { mark: 'f', level_db: -18 }], -24);
  expect(wants.get('f')! - wants.get('p')!).toBe(3 * stepDB); // p mp mf f
  expect((wants.get('f')! + wants.get('p')!) / 2).toBeCloseTo(0);
  expect(expected([{ mark: 'mf', level_db: -20 }], -20).size).toBe(0); // one marking asks for no step
  expect(middleLevel([{ level_db: -10 }, {}, { level_db: -30 }, { level_db: -20 }])).toBe(-20);
  expect(levelY(3)).toBeLessThan(levelY(0));
  expect(of(levelLane([at(10, {})], [{ from: 0, to: 50, mark: 'p' }], wants, -24, ground(100, 0, 1)), 'step')).toHaveLength(1);
});

test('numbers never cover one another', () => {
  const labels = [0, 4, 8].map((x) => ({ x, y: 50, words: '+30', up: true, name: 'number' }));
  const out = set(labels, 10);
  expect(new Set(out.map((s) => s.at.y)).size).toBe(3);
  expect(set([labels[0]!, { ...labels[1]!, x: 100 }], 10).map((s) => s.at.y)).toEqual([50, 50]);
});

test('breaths: taken as planned, not taken, and taken where nobody planned one', () => {
  const all = breathsAt(new Set(['a', 'b']), [{ after: 'a', audible: true, rest: true }, { after: 'c', audible: true, rest: false }, { after: 'd', audible: false, rest: true }]);
  expect(all).toEqual([
    { after: 'a', wanted: true, taken: true, heard: true }, { after: 'b', wanted: true, taken: false, heard: false }, { after: 'c', wanted: false, taken: true, heard: true },
  ]);
  const shapes = breathLane(all.map((b, i) => ({ ...b, x: i * 50 })), ground(300, 0, 1));
  expect([of(shapes, 'strike').length, of(shapes, 'unplanned').length, of(shapes, 'number').map((s) => s.text)]).toEqual([1, 1, ['+']]);
});

// Two bars, the first repeated.
const timeline: Timeline = {
  seconds: 3, tempo_bpm: 60, unit: 'quarter', beats: [],
  bars: [[0, 1], [0, 2], [1, 1]].map(([index, pass], i) => ({ bar: String(index! + 1), index: index!, pass: pass!, start_s: i })),
  notes: [['a', 0, 1], ['a', 0, 2], ['b', 1, 1]].map(([id, bar, pass], i) => ({ id: String(id), bar: Number(bar), pass: Number(pass), pieces: [String(id)], start_s: i, end_s: i + 1 })),
};
const played = (states: ('played' | 'missed')[], starts: (number | null)[]): Pick<Heard, 'notes' | 'bars'> => ({
  notes: states.map((state, i) => (state === 'missed' ? { id: timeline.notes![i]!.id, bar: '1', pitch: 'C3', state } : heard({ id: timeline.notes![i]!.id }))),
  bars: starts.map((at_s) => ({ bar: '1', at_s, bpm: 60, late_ms: 0, cents_own: 0, level_db: 0 })),
});

test('bars that the take does not have are no missed notes', () => {
  const once = played(['played', 'missed', 'played'], [0, null, 1]);
  expect([...absent(once, timeline)]).toEqual(['0.2']);
  expect([passes(once, timeline), absentBars(once, timeline)]).toEqual([1, []]);
  expect(tones(once, timeline, 0).map((t) => [t.id, t.pass, t.slots])).toEqual([['a', 1, 1], ['b', 1, 1]]);
  const cut = played(['played', 'played', 'missed'], [0, 1, null]);
  expect(absentBars(cut, timeline)).toEqual([1]);
  const fluffed = played(['played', 'missed', 'played'], [0, 1, 2]);
  expect([passes(fluffed, timeline), tones(fluffed, timeline, 2)[0]!.note.state]).toEqual([2, 'missed']);
});

test('times round stand side by side, or one by one', () => {
  const both = played(['played', 'played', 'played'], [0, 1, 2]);
  expect(tones(both, timeline, 0).map((t) => [t.id, t.pass, t.slot, t.slots])).toEqual([['a', 1, 0, 2], ['a', 2, 1, 2], ['b', 1, 0, 1]]);
  expect(tones(both, timeline, 2).map((t) => [t.id, t.pass])).toEqual([['a', 2], ['b', 1]]);
  const g = { heads: new Map([['a', head(100)], ['b', head(140, 1)]]), bars: [{ right: 120 }, { right: 200 }] as never, systems: [{}] as never };
  const [first, second, alone] = placed(tones(both, timeline, 0), timeline, g, 1);
  expect(first!.x).toBeLessThan(100);
  expect(second!.x).toBeGreaterThan(100);
  expect(first!.x + first!.half).toBeLessThanOrEqual(second!.x - second!.half);
  expect(alone!.x).toBe(140);
  expect(first!.spans[0]).toMatchObject({ from: 95, system: 0 });
  expect(first!.spans[0]!.to).toBeLessThan(120); // up to the bar line
});
