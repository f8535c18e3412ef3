// The upper and lower edge of everything drawn in a system, by which labels, rings
// and words are kept apart. Heights grow downwards.
export class Skyline {
  private readonly tops: Float64Array;
  private readonly bottoms: Float64Array;

  /** From `left` to `right` in steps of `step`, all in units of the drawing. */
  constructor(private readonly left: number, right: number, private readonly step: number) {
    const n = Math.max(Math.ceil((right - left) / step) + 1, 1);
    this.tops = new Float64Array(n).fill(Infinity);
    this.bottoms = new Float64Array(n).fill(-Infinity);
  }

  private range(from: number, to: number): [number, number] {
    const last = this.tops.length - 1;
    const at = (x: number) => Math.min(Math.max(Math.floor((x - this.left) / this.step), 0), last);
    return [at(from), at(to)];
  }

  add(from: number, to: number, top: number, bottom: number): void {
    const [a, b] = this.range(from, to);
    for (let i = a; i <= b; i++) {
      this.tops[i] = Math.min(this.tops[i]!, top);
      this.bottoms[i] = Math.max(this.bottoms[i]!, bottom);
    }
  }

  /** The highest thing between two places; Infinity over nothing. */
  top(from: number, to: number): number {
    const [a, b] = this.range(from, to);
    return Math.min(...this.tops.subarray(a, b + 1));
  }

  /** The lowest thing between two places; -Infinity under nothing. */
  bottom(from: number, to: number): number {
    const [a, b] = this.range(from, to);
    return Math.max(...this.bottoms.subarray(a, b + 1));
  }
}
