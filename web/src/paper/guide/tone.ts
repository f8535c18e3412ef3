// Tones as the program's package sound lists them, and how one leads to the next.
// All values are explained there (chain.go).

/** Kinds of attack, by their number in the list. */
export const tongued = 0, legato = 1, slurred = 2, accented = 3, sforzando = 4, beat = 5, downbeat = 6;

export type Tone = {
  start: number; end: number; // seconds
  hz: number; hz_end?: number;
  level: number; swell?: number[]; burst?: number; // dB
  attack: number;
  connects?: boolean;
};

const releaseTime = 0.03, dipTime = 0.015, brightTime = 0.06, darkDB = 15, joinTime = 0.012;
const settleDB = 1, settleTime = 0.2, burstTime = 0.12, gapTime = 0.005;
const referenceDBFS = -26, loudestDB = 16, softestDB = -40;
const strokes: Record<number, { rise: number; floor: number }> = {
  [tongued]: { rise: 0.02, floor: 0.1 }, [legato]: { rise: 0.03, floor: 0.35 }, [slurred]: { rise: 0.03, floor: 1 },
  [accented]: { rise: 0.012, floor: 0.03 }, [sforzando]: { rise: 0.01, floor: 0.03 },
};

export type Link = Tone & { stop: number; silent: number; rise: number; floor: number; join: number };
export type Chain = Link[];
/** The state of a tone at one moment. */
export type Control = { hz: number; gain: number; brightness: number };

export const isTick = (t: Tone): boolean => t.attack === beat || t.attack === downbeat;

/** Runs of tones in one breath of air. */
export function chains(tones: readonly Tone[]): Chain[] {
  const sorted = tones.filter((t) => !isTick(t) && t.end > t.start).sort((a, b) => a.start - b.start);
  const limits: number[] = [];
  let limit = Infinity;
  for (let i = sorted.length - 1; i >= 0; i--) {
    if (i + 1 < sorted.length && sorted[i + 1]!.start > sorted[i]!.start) limit = sorted[i + 1]!.start;
    limits[i] = limit;
  }
  const out: Chain[] = [];
  sorted.forEach((t, i) => {
    const l = linkOf(t, limits[i]!), before = out.at(-1)?.at(-1);
    if (before && t.connects && l.start > before.start && l.start - before.stop <= gapTime) {
      out.at(-1)!.push(l);
      return;
    }
    if (l.floor === 1) l.rise = strokes[legato]!.rise; // nothing to slur from
    l.floor = 0;
    out.push([l]);
  });
  return out;
}

function linkOf(t: Tone, limit: number): Link {
  const stroke = strokes[t.attack]!, stop = Math.min(t.end, limit), length = stop - t.start;
  return { ...t, stop, floor: stroke.floor, rise: Math.min(stroke.rise, length / 3), join: Math.min(joinTime, length / 4), silent: Math.min(stop + Math.min(releaseTime, length / 2) / 2, limit) };
}

/** The state of the i-th tone of a chain at t seconds. */
export function at(c: Chain, i: number, t: number): Control {
  const l = c[i]!, before = c[i - 1], next = c[i + 1], length = l.stop - l.start;
  let hz = hzAt(l, t), db = levelAt(l, t), gain = l.floor + (1 - l.floor) * ease((t - l.start) / l.rise);
  const dark = darkDB * (1 - l.floor) * (1 - ease((t - l.start) / Math.min(brightTime, length)));
  const j0 = before ? Math.min(l.join, before.join) : 0;
  if (before && t < l.start + j0) {
    const w = ease((t - l.start + j0) / (2 * j0));
    [hz, db] = [blend(hzAt(before, t), hz, w), mix(levelAt(before, t), db, w)];
  }
  if (next) {
    gain *= 1 - (1 - next.floor) * (1 - ease((next.start - t) / Math.min(dipTime, length / 4)));
    const j = Math.min(l.join, next.join);
    if (t > next.start - j) {
      const w = ease((t - next.start + j) / (2 * j));
      [hz, db] = [blend(hz, hzAt(next, t), w), mix(db, levelAt(next, t), w)];
    }
  } else gain *= ease((l.silent - t) / Math.min(releaseTime, length / 2));
  db = Math.min(Math.max(db, softestDB), loudestDB);
  return { hz, gain: gain * 10 ** ((referenceDBFS + db) / 20), brightness: Math.min(Math.max(db - dark, softestDB), loudestDB) };
}

/** Over a glissando the sounding length, and with it the period, changes evenly. */
function hzAt(l: Link, t: number): number {
  if (!l.hz_end || l.hz_end === l.hz) return l.hz;
  const u = Math.min(Math.max((t - l.start) / (l.stop - l.start), 0), 1);
  return 1 / mix(1 / l.hz, 1 / l.hz_end, u);
}

function levelAt(l: Link, t: number): number {
  const since = Math.max(t - l.start, 0);
  let db = l.level + swellAt(l.swell, since / (l.stop - l.start));
  if (l.floor < 1) db += settleDB * Math.exp(-since / settleTime);
  if (l.burst) db += l.burst * Math.exp(-since / burstTime);
  return db;
}

function swellAt(swell: readonly number[] | undefined, u: number): number {
  if (!swell || swell.length < 2) return 0;
  const x = Math.min(Math.max(u, 0), 1) * (swell.length - 1), k = Math.min(Math.floor(x), swell.length - 2);
  return mix(swell[k]!, swell[k + 1]!, x - k);
}

const mix = (a: number, b: number, w: number): number => a + (b - a) * w;
const blend = (a: number, b: number, w: number): number => a * (b / a) ** w;

function ease(u: number): number {
  const x = Math.min(Math.max(u, 0), 1);
  return x * x * (3 - 2 * x);
}
