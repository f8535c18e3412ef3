import { expect, test } from 'vitest';
import type { Finding, Timeline } from './api';
import { between, numbering, places, range } from './bars';
import { counted } from './clicks';
import { address, asked } from './query';
import { bars, cost, due, length, pitch, spokenPitch } from './words';

const timeline: Timeline = {
  seconds: 10, tempo_bpm: 60, unit: 'half', notes: [],
  bars: [
    { bar: '0', index: 0, pass: 1, start_s: 0 }, { bar: '1', index: 1, pass: 1, start_s: 1 }, { bar: '2', index: 2, pass: 1, start_s: 3 },
    { bar: '1', index: 1, pass: 2, start_s: 5 }, { bar: '2', index: 2, pass: 2, start_s: 7 }, { bar: '3', index: 3, pass: 1, start_s: 9 },
  ],
  beats: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9].map((t) => ({ at_s: t, down: t % 2 === 1 })),
};
const finding = (f: Partial<Finding>): Finding => ({ stage: 'notes', kind: 'key', bars: [], weight: 1, says: '', do: '', ...f });

test('a finding rings every place it names, and its bars when it names none', () => {
  const numbers = numbering(timeline);
  expect(places(finding({ bars: ['1', '3'], places: [['1', '1'], ['2', '3']] }), numbers)).toEqual([{ from: 1, to: 1 }, { from: 2, to: 3 }]);
  expect(places(finding({ bars: ['2', '3'] }), numbers)).toEqual([{ from: 2, to: 3 }]);
  expect(places(finding({ bars: ['7', '9'] }), numbers)).toEqual([]);
});

test('ranges of bars', () => {
  const numbers = numbering(timeline);
  expect(range(['0'], numbers)).toEqual({ from: 0, to: 0 });
  expect(range(['3', '1'], numbers)).toEqual({ from: 1, to: 3 });
  expect(range([], numbers)).toBeNull();
  expect(between(4, 2)).toEqual({ from: 2, to: 4 });
});

test('the count-in leads to the place at the pace of its bar', () => {
  expect(counted(timeline, 1, 1).map((b) => [b.at, b.down])).toEqual([[-2, true], [-1, false]]);
  expect(counted(timeline, 1, 2)).toHaveLength(4);
  expect(counted(timeline, 4, 1).map((b) => b.at)).toEqual([-3, -2, -1]); // within a bar: its first beat too
  expect(counted(timeline, 1, 0)).toEqual([]);
});

test('an address holds what was asked, and nothing empty', () => {
  const q = asked('abc', new URLSearchParams('player=x&bpm=72&level=&reach=nonsense'));
  expect(q).toEqual({ part: 'abc', player: 'x', bpm: 72 });
  expect(address(q)).toBe('/part/abc?player=x&bpm=72');
  expect(address({ part: 'abc' })).toBe('/part/abc');
  expect(asked('abc', new URLSearchParams(address({ ...q, instrument: 'tuba-f', reach: 40 }).split('?')[1]))).toEqual({ ...q, instrument: 'tuba-f', reach: 40 });
});

test('words and numbers', () => {
  expect([pitch('Bb3'), pitch('F#2'), pitch('C4')]).toEqual(['B♭3', 'F♯2', 'C4']);
  expect(spokenPitch('Bb1')).toBe('B flat 1');
  expect([length(48.75), length(109.58)]).toEqual(['0:49', '1:50']);
  const now = new Date(2026, 10, 25, 23, 0);
  expect(['2026-12-06', '2026-11-25', '2026-11-26', '2026-11-20', ''].map((d) => due(d, now))).toEqual(['in 11 days', 'today', 'tomorrow', '5 days ago', '']);
  expect([cost(0.41), cost(0.01)]).toEqual(['costs 0.4 more', 'costs the same']);
  expect([bars(['9', '11']), bars(['4', '4']), bars(['1', '32'], '32'), bars(null)]).toEqual(['9–11', '4', 'all', '']);
});

