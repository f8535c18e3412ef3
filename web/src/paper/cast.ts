// Casting off: which bars share a system, so that all systems are about equally
// full, the last one too.
//
// Source of the method: D. E. Knuth and M. F. Plass, "Breaking paragraphs into
// lines", Software: Practice and Experience 11 (1981), with bars in place of words.

/** Weight of a system too full against one too empty: squeezed notes read worse than spread ones (estimate). */
const squeeze = 12;
/** Cost of one more system, so that a page is not spread out for the sake of evenness (estimate). */
const another = 0.02;
/** A system this many times as full as it should be is out of the question (estimate). */
const fullest = 1.18;

/** How bad a system is that holds so much of what it has room for. */
export function badness(fill: number): number {
  return fill > 1 ? squeeze * (fill - 1) ** 2 : (1 - fill) ** 2;
}

/**
 * The first bar of every system. `widths` are those of the bars set without any
 * strain, `room` is what a system has for bars, `joined` says how bad it is to part
 * a bar from the one before. A bar wider than a system stands alone.
 */
export function castOff(widths: readonly number[], room: number, joined: readonly number[] = []): number[] {
  const n = widths.length;
  const cost = [0, ...Array<number>(n).fill(Infinity)], before = Array<number>(n + 1).fill(0);
  for (let end = 1; end <= n; end++) {
    let width = 0;
    for (let start = end - 1; start >= 0; start--) {
      width += widths[start]!;
      const fill = width / room;
      if (fill > fullest && start < end - 1) break;
      const all = cost[start]! + badness(fill) + another + (start > 0 ? (joined[start] ?? 0) : 0);
      if (all < cost[end]!) [cost[end], before[end]] = [all, start];
    }
  }
  const out: number[] = [];
  for (let end = n; end > 0; end = before[end]!) out.unshift(before[end]!);
  return out;
}
