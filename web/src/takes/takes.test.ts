import { describe, expect, test } from 'vitest';
import type { TrendPoint } from '../lib/api';
import type { Heard } from '../lib/heard';
import { changed } from './changed';
import { differences, type Known, rows } from './figures';
import { across, dayMarks, type Dot, line, linear, place, ticks } from './plot';
import { facts, text } from './sheet';
import { became, dots, remarks, trends } from './trends';
import { apart, bytes, day, figure, names, sentence, wall } from './words';

const summary = (s: Partial<Known['summary']> = {}): Known['summary'] => ({
  notes: 143, played: 140, missed: 2, other: 1, extra: 0, split: 0, median_cents: 5, ninth_tenth_cents: 12, median_late_ms: 10, ninth_tenth_late_ms: 25, breaths: 9, ...s,
});
const named = (day: string, time = '12:00') => ({ day, short: day.slice(0, 6), time, full: `${day}, ${time}` });

describe('names', () => {
  test('a take is called by the clock where it was recorded', () => {
    expect(wall('2026-11-24T23:42:07+01:00')).toEqual({ date: '2026-11-24', time: '23:42', seconds: '07' });
    expect(day('2026-11-04')).toBe('4 November');
    expect(day('2026-11-04', true)).toBe('4 Nov');
    expect(day('soon')).toBe('soon');
  });
  test('takes of one minute are told apart by their seconds', () => {
    const n = names([{ id: 'a', recorded: '2026-11-24T17:42:01Z' }, { id: 'b', recorded: '2026-11-24T17:42:31Z' }, { id: 'c', recorded: '2026-11-25T17:42:01Z' }]);
    expect([...n.values()].map((x) => x.full)).toEqual(['24 November, 17:42:01', '24 November, 17:42:31', '25 November, 17:42']);
  });
  test('two takes in a sentence: by the day, or by the hour of one day', () => {
    expect(apart(named('4 November'), named('6 November'))).toEqual(['on 4 November', 'on 6 November']);
    expect(apart(named('4 November', '10:40'), named('4 November', '11:41'))).toEqual(['at 10:40', 'at 11:41']);
  });
});

test('numbers and sentences', () => {
  expect([figure(-6.74, 1), figure(-0.04, 1), figure(0.5), figure(-0.4)]).toEqual(['−6.7', '0.0', '1', '0']);
  expect([sentence('another take was chosen'), sentence('Look again.')]).toEqual(['Another take was chosen.', 'Look again.']);
  expect([bytes(999), bytes(7_202_288)]).toEqual(['1 kB', '7.2 MB']);
});

describe('plots', () => {
  const dot = (take: string, day: string, value: number, is: Partial<Dot> = {}): Dot => ({ take, day, value, chosen: false, out: false, ...is });
  const frame = { left: 0, right: 210, top: 0, bottom: 100 };

  test('scales', () => {
    expect([0, 5, 10].map(linear([0, 10], [100, 0]))).toEqual([100, 50, 0]);
    expect(linear([4, 4], [0, 10])(4)).toBe(5); // one value stands in the middle
  });
  test('days under a plot keep their distance, the first and the last are there', () => {
    const dots = ['2026-11-20', '2026-11-24'].map((day): Dot => ({ take: day, day, value: 1, chosen: false, out: false }));
    const marks = dayMarks(dots, { left: 0, right: 160, top: 0, bottom: 10 }, 50);
    expect(marks.map((m) => m.date)).toEqual(['2026-11-20', '2026-11-22', '2026-11-24']);
  });
  test('round numbers that hold all values', () => {
    expect(ticks([2.8, 12.3], true)).toEqual([0, 5, 10, 15]);
    expect(ticks([89.03, 97.3], false)).toEqual([85, 90, 95, 100]);
    expect(ticks([-22, -6.3], false)).toEqual([-30, -20, -10, 0]);
    expect(ticks([0, 0], true)).toEqual([0, 1]);
    expect(ticks([], true)).toEqual([]);
    for (const v of [[0.3, 0.31], [441.9, 441.9], [1], [17, 48, 3]]) {
      for (const zero of [true, false]) {
        const t = ticks(v, zero);
        expect(t.length).toBeGreaterThan(1);
        expect(t.length).toBeLessThanOrEqual(6);
        expect(t[0]).toBeLessThanOrEqual(Math.min(...v));
        expect(t.at(-1)).toBeGreaterThanOrEqual(Math.max(...v));
      }
    }
  });
  test('days have their room, and takes of one day stand beside each other', () => {
    const xs = across([dot('a', '2026-11-04', 1), dot('b', '2026-11-04', 2), dot('c', '2026-11-24', 3)], frame);
    expect(xs[2]).toBeCloseTo(205); // 21 days of 10 pixels; the middle of the last
    expect(xs[1]! - xs[0]!).toBeCloseTo(9);
    expect((xs[0]! + xs[1]!) / 2).toBeCloseTo(5);
    expect(across([dot('a', '2026-11-04', 1)], frame)).toEqual([105]);
  });
  test('places in the frame', () => {
    const [a, b] = place([dot('a', '2026-11-04', 0), dot('b', '2026-11-05', 15)], [0, 5, 10, 15], frame);
    expect([a!.y, b!.y]).toEqual([100, 0]);
  });
  test('the first and the last day are named, and what has room between them', () => {
    const takes = [dot('a', '2026-11-04', 1), dot('b', '2026-11-25', 1)];
    expect(dayMarks(takes, frame, 64).map((m) => m.says)).toEqual(['4 Nov', '11 Nov', '18 Nov', '25 Nov']);
    expect(dayMarks(takes, frame, 150).map((m) => m.says)).toEqual(['4 Nov', '25 Nov']);
    expect(dayMarks(takes.slice(0, 1), frame, 64).map((m) => m.says)).toEqual(['4 Nov']);
    expect(dayMarks([dot('a', '2026-12-31', 1), dot('b', '2027-01-01', 1)], frame, 64).map((m) => m.says)).toEqual(['31 Dec', '1 Jan']);
  });
  test('the line goes through the best of each day, or its middle, and leaves out what is ruled out', () => {
    const takes = [dot('a', '2026-11-04', 9), dot('b', '2026-11-04', 7), dot('c', '2026-11-04', 8), dot('d', '2026-11-05', 1, { out: true }), dot('e', '2026-11-06', 5)];
    const at = place(takes, [0, 10], frame);
    expect(line(at, 'best').map((p) => [p.day, p.value])).toEqual([['2026-11-04', 7], ['2026-11-06', 5]]);
    expect(line(at, 'middle').map((p) => p.value)).toEqual([8, 5]);
  });
});

describe('sentences', () => {
  test('what became of a figure', () => {
    const cents = trends[0]!;
    expect(became([{ day: '2026-11-04', value: 10.4 }, { day: '2026-11-25', value: 2.84 }], cents)).toBe('10.4 cents on 4 November, 2.8 on 25 November.');
    expect(became([{ day: '2026-11-04', value: 2.81 }, { day: '2026-11-25', value: 2.84 }], cents)).toBe('2.8 cents on 4 November, and the same on 25 November.');
    expect(became([{ day: '2026-11-04', value: 10.4 }], cents)).toBe('10.4 cents on 4 November, the one day so far.');
    expect(became([], cents)).toBe('Every take so far is ruled out.');
  });
  test('dots of a trend; a figure that was not measured has none', () => {
    const point = (take: string, s: Partial<Known['summary']>): TrendPoint => ({ take, recorded: '2026-11-04T10:00:00Z', day: '2026-11-04', summary: summary(s) });
    const points = [point('a', { tempo_bpm: 96, by_stage: { notes: { findings: 4, weight: 2 } } }), { ...point('b', {}), ruled_out: true }];
    expect(dots(points, trends.find((t) => t.key === 'tempo')!).map((d) => d.value)).toEqual([96]);
    expect(dots(points, trends.find((t) => t.key === 'wrong')!).map((d) => [d.value, d.out])).toEqual([[3, false], [3, true]]);
    expect(dots(points, remarks[0]!).map((d) => d.value)).toEqual([4, 0]);
  });
  test('what tells two takes apart, by stage', () => {
    const a: Known = { summary: summary({ played: 143, median_cents: 2.8, by_stage: {} }), stages: null };
    const b: Known = { summary: summary({ played: 139, median_cents: 5.6, ninth_tenth_late_ms: 40, breaths: 10, by_stage: { notes: { findings: 1, weight: 1 } } }), stages: null };
    const says = Object.fromEntries(differences(a, b, [named('25 November'), named('17 November')]).map((d) => [d.stage, d.says]));
    expect(says.notes).toBe(
      'On 25 November 143 of 143 notes are right, on 17 November 139. Half the notes lie within 2.8 cents and nine in ten within 12.0 on 25 November; within 5.6 and 12.0 on 17 November. Nothing to remark on 25 November, 1 thing on 17 November.',
    );
    expect(says.rhythm).toBe('Half the notes come within 10.0 ms of the beat and nine in ten within 25.0 on 25 November; within 10.0 and 40.0 on 17 November.');
    expect(says.articulation).toBe('Nothing that can be told apart.');
    expect(says.choices).toBe('9 breaths on 25 November, 10 on 17 November.');
    expect(differences(a, a, [named('25 November'), named('17 November')]).map((d) => d.says)).toEqual(Array(5).fill('Nothing that can be told apart.'));
  });
  test('every stage has rows, and what was not measured is a dash', () => {
    const known: Known = { summary: summary({ tuning_hz: 441.88 }), stages: null };
    const value = (stage: string, name: string) => rows.find((r) => r.stage === stage && r.name === name)!.value(known);
    expect([value('notes', 'right'), value('notes', 'tuning'), value('rhythm', 'tempo'), value('articulation', 'attack'), value('choices', 'breaths')]).toEqual(['140', '441.9', '–', '–', '9']);
  });
  test('bars that changed most, each by its own limits, better first', () => {
    const bar = (bar: string, late_ms: number | null, cents_own: number | null, pass?: number) => ({ bar, pass, at_s: 0, bpm: 96, late_ms, cents_own, level_db: -20 });
    const heard = (bars: unknown[]) => ({ bars }) as Heard;
    const before = heard([bar('9', -52, 2), bar('10', 20, -33), bar('11', 4, 12), bar('12', null, 40), bar('13', 30, 9), bar('5', 10, 1, 2)]);
    const now = heard([bar('9', -12, 2), bar('10', 44, 1), bar('11', 4, 9), bar('12', 3, null), bar('13', 4, 2), bar('5', 60, 1, 2)]);
    expect(changed(before, now, ['4 November', '25 November']).map((c) => c.says)).toEqual([
      'Bar 10: 33 cents flat on 4 November, 1 cent sharp on 25 November.',
      'Bar 9: 52 ms early on 4 November, 12 ms early on 25 November.',
      'Bar 5, the second time: 10 ms late on 4 November, 60 ms late on 25 November.',
    ]);
  });
});

test('the check sheet as it is shown and copied', () => {
  const sheet = {
    file_name: 'take.wav', bytes: 7_202_288, sha256: 'ab12', seconds: 50.016, sample_rate: 48_000, channels: 1,
    peak_dbfs: -6.74, true_peak_dbtp: -6.7, loudness_lufs: -21.9, tuning_hz: 441.9,
  };
  expect(facts(sheet).map(([, v]) => v)).toEqual(['0:50', '−6.7 dBFS', '−6.7 dBTP', '−21.9 LUFS', 'A = 441.9 Hz']);
  expect(facts({ ...sheet, tuning_hz: 0 }).at(-1)).toEqual(['Tuning', 'not measured']);
  expect(text(sheet).split('\n')).toContain('SHA-256: ab12');
  expect(text(sheet).split('\n')).toContain('File: take.wav, 7.2 MB, 48.0 kHz, one channel');
});
