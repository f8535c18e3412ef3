// The arm's path: the slide rests at a note's extension and travels to the next in
// one smooth move that arrives as the next note starts.
//
// Source: T. Flash and N. Hogan, "The coordination of arm movements: an
// experimentally confirmed mathematical model", Journal of Neuroscience 5 (1985),
// for the minimum-jerk motion.

/** How far a minimum-jerk motion is after a share of its time, 0 to 1. */
export function minimumJerk(share: number): number {
  const s = Math.min(Math.max(share, 0), 1);
  return s * s * s * (10 + s * (6 * s - 15));
}

/** Seconds of the shortest move that is drawn, in a slur (estimate). */
const shortestMove = 0.12;
/** Seconds of the longest: nobody spreads a move over a whole rest (estimate). */
const longestMove = 0.35;
/** The most of the time from note to note that a move takes (estimate: the note has to stand first). */
const mostOfNote = 0.85;

/** Seconds of the move to the next note: the silence before it, within reason. */
export function moveTime(start: number, end: number, next: number): number {
  const time = Math.min(Math.max(next - end, shortestMove), longestMove);
  return Math.max(Math.min(time, (next - start) * mostOfNote), 0);
}

export type Point = { x: number; y: number };
/** A note in the lane: where it stands, how far the slide is out, and which share of the way to the next is the move. */
export type Stop = { x: number; y: number; share: number };

const pieces = 16; // of a move (estimate: smooth in print)

/** The path through the stops, and on to `end`. */
export function path(stops: readonly Stop[], end: number): Point[] {
  const out: Point[] = [];
  stops.forEach((stop, i) => {
    out.push({ x: stop.x, y: stop.y });
    const next = stops[i + 1];
    if (!next) {
      out.push({ x: Math.max(end, stop.x), y: stop.y });
      return;
    }
    const from = next.x - (next.x - stop.x) * stop.share;
    if (stop.y === next.y) return;
    for (let k = 0; k < pieces; k++) {
      const s = k / pieces;
      out.push({ x: from + (next.x - from) * s, y: stop.y + (next.y - stop.y) * minimumJerk(s) });
    }
  });
  return out;
}

/** The height of a path at x, its ends going on. */
export function heightAt(points: readonly Point[], x: number): number {
  const first = points[0], last = points.at(-1);
  if (!first || !last) return 0;
  if (x <= first.x) return first.y;
  if (x >= last.x) return last.y;
  let lo = 0, hi = points.length - 1;
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (points[mid]!.x <= x) lo = mid;
    else hi = mid;
  }
  const a = points[lo]!, b = points[hi]!;
  return b.x === a.x ? b.y : a.y + ((b.y - a.y) * (x - a.x)) / (b.x - a.x);
}

export const drawn = (points: readonly Point[]): string =>
  points.map((p, i) => `${i ? 'L' : 'M'}${p.x.toFixed(1)} ${p.y.toFixed(1)}`).join('');

/** Half the length by which seven half steps of tube grow, for a tube of length 1. */
const growth = (position: number) => (2 ** ((position - 1) / 12) - 1) / 2;
/** Length in cm of the open tube of a tenor trombone, sounding B flat 1 (from memory). */
const tenorTube = 274;

/**
 * Extension in cm of the positions 1 to 7 without valve. Every half step lengthens
 * the tube by the twelfth root of 2, half of it on each side of the slide; the
 * tube's length follows from the ways that are known.
 */
export function grid(known: readonly { position: number; extension: number }[]): number[] {
  const lengths = known.filter((k) => k.position > 1).map((k) => k.extension / growth(k.position)).sort((a, b) => a - b);
  const tube = lengths[lengths.length >> 1] ?? tenorTube;
  return [1, 2, 3, 4, 5, 6, 7].map((p) => tube * growth(p));
}
