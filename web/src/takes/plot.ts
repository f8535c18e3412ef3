// Small plots over days: scales and the line through each day.
import { dateOf, day, dayNumber } from './words';

/** One take in a plot. */
export type Dot = { take: string; day: string; value: number; chosen: boolean; out: boolean };
export type Placed = Dot & { x: number; y: number };
export type Frame = { left: number; right: number; top: number; bottom: number };

/** A scale from values to a stretch of the drawing. */
export function linear([v0, v1]: [number, number], [p0, p1]: [number, number]): (v: number) => number {
  const by = v1 === v0 ? 0 : (p1 - p0) / (v1 - v0);
  return (v) => (v1 === v0 ? (p0 + p1) / 2 : p0 + (v - v0) * by);
}

/** Round numbers that hold all values, two to five of them. From 0 where distances and counts are shown. */
export function ticks(values: readonly number[], fromZero: boolean): number[] {
  if (values.length === 0) return [];
  const low = fromZero ? 0 : Math.min(...values), high = Math.max(...values);
  const rough = high > low ? (high - low) / 3 : 1, power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5].find((s) => s * power >= rough * (1 - 1e-9)) ?? 10);
  const first = Math.floor(low / step + 1e-9), last = Math.max(Math.ceil(high / step - 1e-9), first + 1);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

/** Share of a day's width over which its takes are spread, so that none covers another (estimate). */
const spread = 0.7;
/** Pixels that keep dots of one day apart where days are narrow (estimate: a dot and its ring). */
const dotRoom = 9;

/** Where takes stand from left to right, by their days and their order within a day. Dots come oldest first. */
export function across(dots: readonly Dot[], frame: Frame): number[] {
  const numbers = dots.map((d) => dayNumber(d.day));
  const first = Math.min(...numbers), last = Math.max(...numbers);
  const width = (frame.right - frame.left) / (last - first + 1);
  const at = linear([first - 0.5, last + 0.5], [frame.left, frame.right]);
  return dots.map((d, i) => {
    const same = dots.filter((o) => o.day === d.day), n = same.length, k = same.indexOf(d);
    const apart = n > 1 ? Math.max((spread * width) / n, Math.min(dotRoom, (frame.right - frame.left) / n)) : 0;
    const x = at(numbers[i]!) + (k - (n - 1) / 2) * apart;
    return Math.min(Math.max(x, frame.left), frame.right);
  });
}

export function place(dots: readonly Dot[], marks: readonly number[], frame: Frame): Placed[] {
  const y = linear([marks[0]!, marks.at(-1)!], [frame.bottom, frame.top]);
  const xs = across(dots, frame);
  return dots.map((d, i) => ({ ...d, x: xs[i]!, y: y(d.value) }));
}

/** Days under the plot: the first, the last, and between them as many as have room. */
export function dayMarks(dots: readonly Dot[], frame: Frame, room: number): { x: number; says: string; date: string }[] {
  const numbers = dots.map((d) => dayNumber(d.day));
  const first = Math.min(...numbers), last = Math.max(...numbers);
  const at = linear([first - 0.5, last + 0.5], [frame.left, frame.right]);
  const most = Math.max(Math.floor((frame.right - frame.left) / room), 1);
  const span = last - first, parts = Math.min(most, span);
  const step = Math.max(Math.ceil(span / parts), 1);
  const all = [first];
  while (all.at(-1)! + 2 * step <= last) all.push(all.at(-1)! + step);
  if (span > 0) all.push(last);
  return all.map((n) => ({ x: at(n), says: day(dateOf(n), true), date: dateOf(n) }));
}

export type Through = 'best' | 'middle';

/** Of each day the best take, the one with the least, or its middle value. Takes that are ruled out do not count. */
export function line(placed: readonly Placed[], through: Through): { day: string; x: number; y: number; value: number }[] {
  const days = new Map<string, Placed[]>();
  for (const p of placed) if (!p.out) days.set(p.day, [...(days.get(p.day) ?? []), p]);
  return [...days].map(([day, takes]) => {
    const sorted = takes.toSorted((a, b) => a.value - b.value);
    const at = through === 'best' ? sorted[0]! : sorted[Math.floor((sorted.length - 1) / 2)]!;
    return { day, x: at.x, y: at.y, value: at.value };
  });
}
