import { expect, test } from 'vitest';
import type { Finding, Timeline } from '../lib/api';
import { numbering } from '../lib/bars';
import type { HeardNote, Measures } from '../lib/heard';
import { dayOf, momentOf } from '../page/takes.svelte';
import { clock, courseWords, coverage, number, signed, speaksTime, speaksTune, timed, tuned, withDoubt } from './numbers';
import { warned } from './warned';

test('numbers have a minus that is one, and no minus before nothing', () => {
  expect([number(-17.4), number(-0.3), number(0.456, 2), number(-18.25, 1)]).toEqual(['−17', '0', '0.46', '−18.3']);
  expect([signed(12), signed(-7), signed(0.2), signed(-0.2), signed(0.25, 1)]).toEqual(['+12', '−7', '0', '0', '+0.3']);
});

// Published: JCGM 100:2008, 6.2 and 6.3.3: an expanded uncertainty is the standard
// one times a coverage factor, 2 for about 95 %.
test('an uncertainty is doubled, and never smaller than what is shown of the number', () => {
  expect(coverage).toBe(2);
  expect([withDoubt(17.2, 1.6), withDoubt(17.2, 0.1), withDoubt(0.613, 0.024, 2), withDoubt(-18.71, 0.05, 1)]).toEqual(['17 ± 3', '17 ± 1', '0.61 ± 0.05', '−18.7 ± 0.1']);
  expect([tuned(17.2, 1.6, 'of it'), tuned(-6, 1), tuned(0.3, 0.1)]).toEqual(['17 ± 3 cents sharp of it', '6 ± 2 cents flat', 'in tune, 0 ± 1 cents']);
  expect([timed(12.4, 2.4), timed(-40, 5), timed(-0.2, 1)]).toEqual(['12 ± 5 ms late', '40 ± 10 ms early', 'on the beat, 0 ± 2 ms']);
});

const contour = { scoop_cents: 0, scoop_s: 0, fall_cents: 0, fall_s: 0, drift_cents: 0, waver_cents: 0, vibrato_hz: 0, vibrato_cents: 0 };
const note = (n: Partial<Measures>): HeardNote & Measures => ({
  id: 'b1n1', bar: '1', pitch: 'C3', state: 'played', onset_s: 1, offset_s: 2, late_ms: 0, late_steady_ms: 0, cents: 0, cents_own: 0, length_ratio: 1, level_db: -20, split: false,
  local_bpm: 90, centroid_hz: 0, brighter_pct: 0, attack_ms: 0, contour, uncertainty: { onset_ms: 1, late_ms: 1, cents: 1, length_ratio: 0.01, level_db: 0.1, brighter_pct: 1, attack_ms: 1 }, ...n,
});

test('a deviation is spoken of when it lies beyond its limit and its doubt', () => {
  const sure = note({}), unsure = note({ uncertainty: { ...note({}).uncertainty, cents: 4, late_ms: 20 } });
  expect([12, 13.1, -13.1].map((c) => speaksTune(sure, c))).toEqual([false, true, true]);
  expect([17, 18.1].map((c) => speaksTune(unsure, c))).toEqual([false, true]);
  expect(speaksTune(note({ offset_s: 1.1 }), 40)).toBe(false); // too short to be a pitch
  expect(speaksTune({ ...sure, state: 'other' }, -100)).toBe(false); // that is another note
  expect([speaksTime(sure, 51), speaksTime(sure, -52.5), speaksTime(unsure, 80), speaksTime({ ...sure, uncertainty: undefined as never }, 90)]).toEqual([false, true, false, false]);
});

test('the course of a pitch is told where it is large', () => {
  expect(courseWords(note({ contour: { ...contour, scoop_cents: -30, scoop_s: 0.08 } }))).toEqual(['began 30 cents low for 80 ms']);
  expect(courseWords(note({ contour: { ...contour, scoop_cents: -29, scoop_s: 0.08, fall_cents: 45, fall_s: 0.03, drift_cents: 15 } }))).toEqual([]);
  expect(courseWords(note({ contour: { ...contour, drift_cents: -25, vibrato_hz: 5.2, vibrato_cents: 18 } }))).toEqual(['sank 25 cents', 'vibrato 5.2 a second, 18 cents either way']);
});

test('moments and days, as the clock stood where it was recorded', () => {
  expect([clock(12.36), clock(0), clock(59.97), clock(125)]).toEqual(['0:12.4', '0:00.0', '1:00.0', '2:05.0']);
  expect([momentOf('2026-11-24T17:42:00+01:00'), dayOf('2026-11-04T23:59:00-05:00')]).toEqual(['24 November, 17:42', '4 November']);
});

test('a fault answers to the nearest warning in its bars', () => {
  const timeline = { bars: [1, 2, 3, 4, 5].map((n) => ({ bar: String(n), index: n - 1, pass: 1, start_s: n })) } as Timeline;
  const f = (kind: string, ...bars: string[]): Finding => ({ stage: 'notes', kind, bars, weight: 1, says: '', do: '' });
  const page = [f('key', '1', '4'), f('accidental', '3', '3'), f('short-rest', '2', '2'), f('low', '1', '5')];
  const numbers = numbering(timeline);
  expect([f('wrong-note', '3', '3'), f('wrong-note', '1', '1'), f('short-rest', '1', '2'), f('short-rest', '3', '4'), f('recording', '1', '4'), f('missed-note', '1', '5')].map((x) => warned(x, page, numbers))).toEqual([1, 0, 2, -1, -1, -1]);
});
