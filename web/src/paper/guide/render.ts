// Samples of a list of tones: the program's package sound in the page itself, so
// that a guide carries a list of notes in place of a recording and plays it at any
// speed. Differs from there by nothing but rounding.
import { period, tableSize } from './envelope';
import { at, chains, isTick, type Chain, type Control, type Tone } from './tone';

const tail = 0.25, blocksPerSecond = 1000, brightStep = 3;
const tickDecay = 0.004, tickPeakDBFS = -12;
const rounding = 1e-9;

type Layer = { key: number; from: number; to: number; table: Float32Array };

class Voice {
  private readonly tables = new Map<number, Float32Array>();
  phase = 0;

  constructor(private readonly rate: number, private readonly a4: number) {}

  private corners(out: Layer[], c: Control, first: boolean): void {
    const s = 12 * Math.log2(c.hz / this.a4), b = c.brightness / brightStep;
    const s0 = Math.floor(s + rounding), b0 = Math.floor(b + rounding), ds = s - s0, db = b - b0;
    [(1 - ds) * (1 - db), (1 - ds) * db, ds * (1 - db), ds * db].forEach((w, i) => {
      if (w < rounding) return;
      const semitone = s0 + (i >> 1), bright = b0 + (i & 1), key = semitone * 1000 + bright;
      let layer = out.find((l) => l.key === key);
      if (!layer) {
        let table = this.tables.get(key);
        if (!table) this.tables.set(key, (table = period(this.a4 * 2 ** (semitone / 12), brightStep * bright, this.rate)));
        out.push((layer = { key, from: 0, to: 0, table }));
      }
      layer[first ? 'from' : 'to'] += w * c.gain;
    });
  }

  /** Adds n samples, going evenly from state a to state b. */
  add(out: Float32Array, first: number, n: number, a: Control, b: Control): void {
    const layers: Layer[] = [];
    this.corners(layers, a, true);
    this.corners(layers, b, false);
    let inc = a.hz / this.rate, phase = this.phase;
    const bend = (b.hz / this.rate - inc) / n;
    for (let j = 0; j < n; j++) {
      const x = phase * tableSize, k = Math.floor(x), f = x - k, u = j / n;
      let sum = 0;
      for (const l of layers) sum += (l.from + u * (l.to - l.from)) * (l.table[k]! + f * (l.table[k + 1]! - l.table[k]!));
      if (first + j >= 0 && first + j < out.length) out[first + j]! += sum;
      phase += inc;
      phase -= Math.floor(phase);
      inc += bend;
    }
    this.phase = phase;
  }
}

function addChain(c: Chain, out: Float32Array, v: Voice, rate: number): void {
  const n = Math.max(Math.floor(rate / blocksPerSecond), 1), end = c.at(-1)!.silent * rate;
  let first = Math.floor(c[0]!.start * rate), i = 0, from = at(c, 0, first / rate);
  v.phase = 0;
  while (first < end) {
    const t = (first + n) / rate;
    while (i + 1 < c.length && t >= c[i + 1]!.start) i++;
    const to = at(c, i, t);
    v.add(out, first, n, from, to);
    [from, first] = [to, first + n];
  }
}

function addTick(out: Float32Array, t: Tone, rate: number): void {
  const first = Math.round(t.start * rate), length = Math.floor((t.end - t.start) * rate), peak = 10 ** ((tickPeakDBFS + t.level) / 20);
  for (let k = 0; k < length && first + k < out.length; k++) {
    const s = (k + 1) / rate;
    if (first + k >= 0) out[first + k]! += peak * (1 - k / length) * Math.exp(-s / tickDecay) * Math.sin(2 * Math.PI * t.hz * s);
  }
}

/** Tones slowed to a share of their tempo; a tick keeps its length. */
export const slowed = (tones: readonly Tone[], tempo: number): Tone[] =>
  tones.map((t) => ({ ...t, start: t.start / tempo, end: isTick(t) ? t.start / tempo + t.end - t.start : t.end / tempo }));

/** Renders one channel; between runs of tones `pause` may let others work, and stop it by saying so. */
export async function render(tones: readonly Tone[], rate: number, a4: number, pause: () => Promise<boolean> = async () => true): Promise<Float32Array | null> {
  const out = new Float32Array(Math.ceil((Math.max(0, ...tones.map((t) => t.end)) + tail) * rate));
  const v = new Voice(rate, a4);
  for (const c of chains(tones)) {
    addChain(c, out, v, rate);
    if (!(await pause())) return null;
  }
  for (const t of tones) if (isTick(t)) addTick(out, t, rate);
  return out;
}

