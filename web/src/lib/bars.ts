// Ranges of bars: findings name printed numbers, the page counts from 0.
import type { Finding, Timeline } from './api';

export type Range = { from: number; to: number }; // indexes of bars on the page, both included

/** The indexes that carry each printed number, in order of the page. */
export function numbering(timeline: Timeline): Map<string, number[]> {
  const out = new Map<string, number[]>();
  for (const { bar, index } of timeline.bars ?? []) {
    const has = out.get(bar) ?? [];
    if (!has.includes(index)) has.push(index);
    out.set(bar, has.sort((a, b) => a - b));
  }
  return out;
}

export function range(printed: readonly string[] | null, numbers: Map<string, number[]>): Range | null {
  if (!printed || printed.length === 0) return null;
  const from = numbers.get(printed[0]!)?.[0];
  const to = numbers.get(printed[1] ?? printed[0]!)?.at(-1);
  if (from === undefined || to === undefined) return null;
  return from <= to ? { from, to } : { from: to, to: from };
}

/** Every place that a finding speaks of; its bars when it names no places. */
export function places(f: Finding, numbers: Map<string, number[]>): Range[] {
  const named = f.places && f.places.length > 0 ? f.places : [f.bars];
  return named.map((p) => range(p, numbers)).filter((r): r is Range => r !== null);
}

/** A range from two bars in any order. */
export const between = (a: number, b: number): Range => ({ from: Math.min(a, b), to: Math.max(a, b) });
