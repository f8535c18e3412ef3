import { describe, expect, it } from 'vitest';
import { spread } from './spread';

const blocks = (n: number, height: number) => Array.from({ length: n }, (_, i) => ({ top: i * 1000, bottom: i * 1000 + height }));

describe('spread', () => {
  const gaps = { least: 10, most: 40 };
  it('sets a full page apart to its very foot', () => {
    const placed = spread(blocks(9, 100), 1050, 1050, gaps);
    expect(placed.every((p) => p.page === 0)).toBe(true);
    const last = placed[8]!;
    expect(last.shift + 8000 + 100).toBeCloseTo(1050, 6);
  });
  it('never lets systems meet or leave a page', () => {
    for (let n = 1; n < 60; n++) {
      const placed = spread(blocks(n, 97), 800, 1000, gaps);
      placed.forEach((p, i) => {
        const top = p.shift + i * 1000, bottom = top + 97;
        expect(top).toBeGreaterThanOrEqual(0);
        expect(bottom).toBeLessThanOrEqual((p.page === 0 ? 800 : 1000) + 1e-6);
        const before = placed[i - 1];
        if (before?.page === p.page) expect(top - (before.shift + (i - 1) * 1000 + 97)).toBeGreaterThanOrEqual(10 - 1e-6);
      });
    }
  });
  it('does not pull a few systems apart over a whole page', () => {
    const placed = spread(blocks(2, 100), 1000, 1000, gaps);
    expect(placed.map((p, i) => p.shift + i * 1000)).toEqual([0, 140]);
  });
  it('leaves no last page with a system alone', () => {
    const placed = spread(blocks(10, 100), 1000, 1000, gaps);
    expect(placed.filter((p) => p.page === 1).length).toBeGreaterThan(1);
  });
});
