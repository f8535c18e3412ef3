import { expect, test } from 'vitest';
import type { Season, TakeCard } from '../lib/api';
import { nextDue, standing, today } from './standing';

const card = (t: Partial<TakeCard>) => ({ part: 'march', player: 'ines', recorded: '2026-11-24T17:42:00Z', state: 'measured', measured: null, ...t }) as TakeCard;
const measured = (first?: string) => ({ summary: { first } }) as TakeCard['measured'];

test('where the takes of a part stand', () => {
  expect(standing([])).toEqual({ many: 'No take yet', newest: '', first: '' });
  const a = card({ measured: measured('Bar 21: the G3 does not sound.') }), b = card({ recorded: '2026-11-20T10:00:00Z', measured: measured(), chosen: true });
  expect(standing([a])).toEqual({ many: '1 take', newest: 'the newest of 24 November', first: 'Bar 21: the G3 does not sound.' });
  expect(standing([a, b])).toEqual({ many: '2 takes', newest: 'the newest of 24 November; chosen is that of 20 November', first: 'Bar 21: the G3 does not sound.' });
  expect(standing([b]).newest).toBe('the newest of 20 November, which is chosen');
  expect(standing([b]).first).toBe('Nothing to remark.');
  expect(standing([card({ state: 'failed', reason: 'It is no take of this part.' })]).first).toBe('It is no take of this part.');
  expect(standing([card({ state: 'queued' })]).first).toBe('It is being measured.');
});

test('what is due next: not what is past, nor what has a chosen take', () => {
  const season = {
    parts: [{ id: 'march', title: 'March', due: '2026-12-06' }, { id: 'song', title: 'Song', due: '2026-12-13' }, { id: 'old', title: 'Old', due: '2026-11-01' }, { id: 'free', title: 'Free' }],
    assignments: [{ part: 'song', player: 'bela', due: '2026-12-01' }],
  } as Season;
  expect(nextDue(season, [], 'ines', '2026-11-25')).toEqual({ title: 'March', due: '2026-12-06' });
  expect(nextDue(season, [card({})], 'ines', '2026-11-25')?.title).toBe('March'); // there is a take, but none is chosen
  expect(nextDue(season, [card({ chosen: true }), card({ part: 'song' })], 'ines', '2026-11-25')).toEqual({ title: 'Song', due: '2026-12-13' });
  expect(nextDue(season, [card({ chosen: true })], 'ines', '2026-11-25')).toBeNull(); // the parts of others are not asked for
  expect(nextDue(season, [], 'bela', '2026-11-25')).toEqual({ title: 'Song', due: '2026-12-01' });
  expect(nextDue(season, [], 'ines', '2026-12-13')?.title).toBe('Song'); // due today is still due
  expect(nextDue(season, [], 'ines', '2026-12-14')).toBeNull();
  expect(today(new Date(2026, 0, 5, 23, 59))).toBe('2026-01-05');
});
