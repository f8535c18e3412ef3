import { describe, expect, it } from 'vitest';
import { badness, castOff } from './cast';

/** The least cost of all ways to break, tried one by one. */
function bruteForce(widths: number[], room: number): number {
  let best = Infinity;
  for (let breaks = 0; breaks < 1 << (widths.length - 1); breaks++) {
    const starts = [0, ...widths.keys()].filter((i, k) => k === 0 || (i > 0 && breaks & (1 << (i - 1))));
    best = Math.min(best, cost(widths, room, starts));
  }
  return best;
}

function cost(widths: number[], room: number, starts: number[]): number {
  return starts.reduce((sum, start, k) => {
    const bars = widths.slice(start, starts[k + 1] ?? widths.length), fill = bars.reduce((a, b) => a + b, 0) / room;
    return sum + (fill > 1.18 && bars.length > 1 ? Infinity : badness(fill) + 0.02);
  }, 0);
}

describe('castOff', () => {
  it('is as even as the best of all ways', () => {
    let seed = 7;
    const chance = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
    for (let round = 0; round < 60; round++) {
      const widths = Array.from({ length: 2 + Math.floor(chance() * 9) }, () => 50 + 200 * chance());
      const starts = castOff(widths, 400);
      expect(cost(widths, 400, starts)).toBeCloseTo(bruteForce(widths, 400), 9);
    }
  });
  it('fills the last system like the others', () => {
    expect(castOff([100, 100, 100, 100, 100, 100, 100, 100, 100], 400)).toEqual([0, 3, 6]);
  });
  it('keeps joined bars together', () => {
    expect(castOff([100, 100, 100, 100, 100, 100], 300)).toEqual([0, 3]);
    expect(castOff([100, 100, 100, 100, 100, 100], 300, [0, 0, 0, 2, 0, 0])).not.toContain(3);
  });
});
