import { expect, test } from 'vitest';
import type { Timeline } from '../lib/api';
import type { Heard, HeardNote } from '../lib/heard';
import { barAt, barTime } from './course';
import { gapWords, nearestTime, placeOf, runs, takeTime } from './where';

// Four bars of one second with two notes each; bars 1 and 2 are repeated.
const turns = [[0, 1], [1, 1], [0, 2], [1, 2], [2, 1], [3, 1]] as const;
const timeline: Timeline = {
  seconds: 6, tempo_bpm: 120, unit: 'quarter', beats: [],
  bars: turns.map(([index, pass], i) => ({ bar: String(index + 1), index, pass, start_s: i })),
  notes: turns.flatMap(([bar, pass], i) => [0, 1].map((k) => ({ id: `b${bar + 1}n${k + 1}`, bar, pass, pieces: [], start_s: i + k / 2, end_s: i + k / 2 + 0.5 }))),
};

/** A take that plays the turns at these seconds, each at half the tempo; null for turns that it leaves out. */
function take(starts: (number | null)[], went: Heard['went'] = []): Pick<Heard, 'notes' | 'bars' | 'went'> {
  return {
    went,
    bars: starts.map((at, i) => ({ bar: timeline.bars![i]!.bar, at_s: at, bpm: 60, late_ms: 0, cents_own: 0, level_db: 0 })),
    notes: starts.flatMap((at, i) => [0, 1].map((k): HeardNote => {
      const base = { id: timeline.notes![2 * i + k]!.id, bar: timeline.bars![i]!.bar, pitch: 'C3' };
      return at === null ? { ...base, state: 'missed' } : { ...base, state: 'played', onset_s: at + k, offset_s: at + k + 0.9 };
    })),
  };
}

test('a take that goes straight on is one run, and time maps both ways', () => {
  const all = runs(take([1, 3, 5, 7, 9, 11]), timeline);
  expect(all).toHaveLength(1);
  expect(placeOf(all, 0.5)).toBeNull();
  for (const [at, page] of [[1, 0], [2, 0.5], [3.5, 1.25], [12, 5.5]] as const) {
    expect(placeOf(all, at)).toMatchObject({ page, sure: true });
    expect(takeTime(all, page)).toBeCloseTo(at, 9);
  }
  expect(placeOf(all, 12.95)!.page).toBeCloseTo(5.975, 2); // the last note, up to its end
});

test('after a restart the place jumps back, and what sounds between is not known', () => {
  // Bars 1 2 1 2, a stop after the first try at bar 3, and bar 3 anew at 16 s.
  const all = runs(take([1, 3, 5, 7, 16, 18], [{ kind: 'restart', from: '4', to: '3', at_s: 16 }]), timeline);
  expect(all).toHaveLength(2);
  expect(placeOf(all, 8.9)).toMatchObject({ sure: true });
  const lost = placeOf(all, 12)!;
  expect(lost).toEqual({ page: 4, sure: false, why: 'restart', to: '3' });
  expect(gapWords(lost)).toBe('Begins again in bar 3; this part is not measured');
  expect(placeOf(all, 16)).toMatchObject({ page: 4, sure: true });
  expect(takeTime(all, 4.5)).toBeCloseTo(17);
});

test('a repeat that is not taken is jumped over, not raced through', () => {
  const all = runs(take([1, 3, null, null, 5, 7], [{ kind: 'repeat-not-taken', from: '2', to: '3', at_s: 5 }]), timeline);
  expect(placeOf(all, 4.9)!.page).toBeLessThanOrEqual(2);
  expect(placeOf(all, 5)).toMatchObject({ page: 4, sure: true });
  expect(takeTime(all, 2.75)).toBeNull();
  expect(nearestTime(all, 2.75)).toBe(5);
  expect(nearestTime(all, 99)).toBe(9); // the end of the last note
});

test('missed notes and silent bars leave the course whole', () => {
  const heard = take([1, 3, 5, 7, 9, 11]);
  heard.notes[4] = { id: 'b1n1', bar: '1', pass: 2, pitch: 'C3', state: 'missed' };
  const all = runs(heard, timeline);
  expect(all).toHaveLength(1);
  expect(placeOf(all, 5.5)!.page).toBeCloseTo(2.25, 9); // by the bar's start
});

test('a bar leads to the turn that is asked for, else to the first one that there is', () => {
  const all = runs(take([null, null, 5, 7, 9, 11]), timeline);
  expect([barTime(all, timeline, 0), barTime(all, timeline, 0, 2), barTime(all, timeline, 3)]).toEqual([5, 5, 11]);
  const both = runs(take([1, 3, 5, 7, 9, 11]), timeline);
  expect([barTime(both, timeline, 1), barTime(both, timeline, 1, 2)]).toEqual([3, 7]);
  expect([barAt(both, timeline, 0.2), barAt(both, timeline, 6), barAt(both, timeline, 9.5)]).toEqual([-1, 0, 2]);
});

test('moments that contradict each other never turn the place back', () => {
  const heard = take([1, 3, 5, 7, 9, 11]);
  heard.notes[3] = { ...heard.notes[3]!, onset_s: 2.5 }; // heard before the note that it follows
  heard.bars[4] = { ...heard.bars[4]!, at_s: 12.5 }; // computed behind the note that stands in it
  heard.notes[8] = { ...heard.notes[8]!, state: 'missed' };
  delete heard.notes[8]!.onset_s;
  const all = runs(heard, timeline);
  let last = -1;
  for (let t = 1; t < 13; t += 0.05) {
    const { page } = placeOf(all, t)!;
    expect(page).toBeGreaterThanOrEqual(last);
    last = page;
  }
  expect(placeOf(all, 3)).toMatchObject({ page: 1 }); // not past it, to the note that came too soon
  expect(placeOf(all, 11)).toMatchObject({ page: 5 });
});
