// The spectrum of the reference tone and one period of it, by the recipe of the
// program's package sound: there are the sources and the reasons of all values.
const bellHz = 450, kneeHz = 300, rollOffDB = 13, brightenDB = 12;
const tableSize = 4096, faintDB = -100, bandLimit = 0.47, chirp = 2.22;

/** The envelope in dB at a frequency for a brightness in dB. */
export function partialDB(hz: number, brightness: number): number {
  const bell = -10 * Math.log10(1 + (bellHz / hz) ** 2);
  const slope = rollOffDB * 2 ** (-brightness / brightenDB);
  return bell - (slope * (Math.hypot(hz, kneeHz) - kneeHz)) / 1000;
}

function partials(hz: number, brightness: number, rate: number): number[] {
  const amps: number[] = [];
  let strongest = -Infinity;
  for (let n = 1; n * hz < bandLimit * rate; n++) {
    const db = partialDB(n * hz, brightness);
    strongest = Math.max(strongest, db);
    if (db < strongest + faintDB) break;
    amps.push(10 ** (db / 20));
  }
  return amps;
}

/** One period with an RMS of 1, its first sample repeated at the end. */
export function period(hz: number, brightness: number, rate: number): Float32Array {
  const sum = new Float64Array(tableSize);
  let power = 0;
  partials(hz, brightness, rate).forEach((a, i) => {
    power += (a * a) / 2;
    const n = i + 1, w = (2 * Math.PI * n) / tableSize, p = chirp * n * n, twice = 2 * Math.cos(w);
    for (let k = 0, before = Math.sin(p - w), now = Math.sin(p); k < tableSize; k++) {
      sum[k]! += a * now;
      [before, now] = [now, twice * now - before];
    }
  });
  const out = new Float32Array(tableSize + 1), scale = power > 0 ? 1 / Math.sqrt(power) : 0;
  for (let k = 0; k < tableSize; k++) out[k] = sum[k]! * scale;
  out[tableSize] = out[0]!;
  return out;
}

export { tableSize };
