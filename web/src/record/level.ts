// What the meter shows and says of the microphone's level, in dB below full scale.

/** Least level shown, in dBFS: below the noise of any room (estimate). */
export const silence = -90;
/** Marks of the scale, and its lower end, in dBFS. */
export const marks = [-40, -20, -12, -6, 0];
const scaleFrom = -60;
/** Peaks nearer to full scale than 3 dB may clip at the next accent; softer than 20 dB below, the noise of the room comes near (common practice). */
const close = -3, soft = -20;
/** The peak is held for so long, in seconds, then falls so fast, in dB a second (common practice for peak meters). */
const hold = 2, fall = 20;
/** The room is what sounds in the softest quarter of the last seconds (estimates). */
const roomSeconds = 4, roomShare = 0.25, roomLeast = 1;
/** A room this far down is quiet, or noisy above: notes at -20 dBFS should stand 30 dB over it (estimates). */
const quiet = -60, noisy = -50;

export const dbfs = (amplitude: number): number => (amplitude > 0 ? Math.max(20 * Math.log10(amplitude), silence) : silence);

/** Where a level lies on the scale, 0 to 1. */
export const place = (level: number): number => Math.min(1, Math.max(0, (level - scaleFrom) / -scaleFrom));

export type LevelWord = 'too soft' | 'good' | 'close to clipping' | 'clipped';

/** Level of the loudest value of a 16-bit converter: what stands there was cut off. */
const cutOff = dbfs(32767 / 32768);

/** The word for the loudest that was played. */
export function levelWord(peak: number): LevelWord {
  if (peak >= cutOff) return 'clipped';
  if (peak > close) return 'close to clipping';
  return peak >= soft ? 'good' : 'too soft';
}

/** What the room is like; nothing before it was heard. */
export function roomWords(room: number | null): string {
  if (room === null) return '';
  if (room <= silence) return 'Nothing at all arrives from the microphone. Is it switched off?';
  const level = `${Math.round(room)} dBFS`.replace('-', '−');
  if (room <= quiet) return `The room is quiet (${level}).`;
  if (room <= noisy) return `Some noise in the room (${level}), soft enough.`;
  return `The room is noisy (${level}): go nearer to the microphone, or find a quieter one.`;
}

export class Level {
  peak = silence; // of the last block
  held = silence; // the peak that is held
  loudest = silence; // since reset
  room: number | null = null; // level of the room; null before enough of it was heard
  private heldFor = 0;
  private levels: number[] = []; // of whole blocks

  add(samples: Float32Array, rate: number): void {
    let top = 0, power = 0;
    for (const v of samples) {
      top = Math.max(top, Math.abs(v));
      power += v * v;
    }
    const seconds = samples.length / rate;
    this.peak = dbfs(top);
    this.loudest = Math.max(this.loudest, this.peak);
    this.holdPeak(seconds);
    this.levels.push(dbfs(Math.sqrt(power / samples.length)));
    if (this.levels.length * seconds > roomSeconds) this.levels.shift();
    this.room = this.levels.length * seconds < roomLeast ? null : this.levels.toSorted((a, b) => a - b)[Math.floor(this.levels.length * roomShare)]!;
  }

  private holdPeak(seconds: number): void {
    this.heldFor += seconds;
    if (this.peak >= this.held) {
      this.held = this.peak;
      this.heldFor = 0;
    } else if (this.heldFor > hold) {
      this.held = Math.max(this.peak, this.held - fall * seconds);
    }
  }

  /** Forgets the loudest: a new take begins. */
  reset(): void {
    this.loudest = silence;
  }
}
