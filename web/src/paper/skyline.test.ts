import { expect, it } from 'vitest';
import { Skyline } from './skyline';

it('keeps the highest and the lowest of what stands between two places', () => {
  const s = new Skyline(0, 100, 1);
  s.add(10, 20, 50, 60);
  s.add(15, 30, 40, 55);
  expect([s.top(10, 12), s.top(0, 100), s.top(40, 50)]).toEqual([50, 40, Infinity]);
  expect([s.bottom(10, 12), s.bottom(25, 26), s.bottom(40, 50)]).toEqual([60, 55, -Infinity]);
});
