// Plays a stretch of the performance at any tempo: its tones are rendered anew for
// each, so that nothing is stretched and the pitch stays. The samples go to an
// ordinary audio element, which phones do not silence with their ringer.
import { counted } from '../../lib/clicks';
import type { Data } from './data';
import { render, slowed } from './render';
import { isTick, downbeat, type Tone } from './tone';
import { wav } from './wav';

/** Samples a second: partials up to 11 kHz, more than a trombone shows (estimate). */
const rate = 24_000;
/** The reference A4 in Hz, and a silence before everything in seconds, so that a phone does not swallow the start (estimate). */
const a4 = 440, leadIn = 0.15;
/** Milliseconds of work after which the page may do other things (estimate: half a frame). */
const slice = 8;

export type Stretch = { from: number; to: number; tempo: number; count: boolean; click: boolean }; // seconds of the performance; a share of its tempo

export class Player {
  private key = '';
  private lead = 0;
  private stretch: Stretch | null = null;
  private job = 0;

  constructor(private readonly data: Data, readonly audio: HTMLAudioElement) {}

  /** Makes the samples of a stretch, unless they are there; false when another was asked for meanwhile. */
  async prepare(s: Stretch): Promise<boolean> {
    const key = JSON.stringify(s);
    if (key === this.key) return true;
    const job = ++this.job;
    const { tones, lead } = this.tones(s);
    let since = performance.now();
    const samples = await render(tones, rate, a4, async () => {
      if (performance.now() - since > slice) {
        await new Promise((done) => setTimeout(done));
        since = performance.now();
      }
      return job === this.job;
    });
    if (!samples || job !== this.job) return false;
    URL.revokeObjectURL(this.audio.src);
    this.audio.src = URL.createObjectURL(new Blob([wav(samples, rate)], { type: 'audio/wav' }));
    [this.key, this.stretch, this.lead] = [key, s, lead];
    return true;
  }

  private tones(s: Stretch): { tones: Tone[]; lead: number } {
    const counts = s.count ? counted(this.data.timeline, s.from, 1) : [];
    const lead = leadIn - (counts[0]?.at ?? 0) / s.tempo;
    const inside = this.data.tones.filter((t) => t.start >= s.from - 1e-3 && t.start < s.to - 1e-3 && (s.click || !isTick(t)));
    const moved = slowed(inside.map((t) => ({ ...t, start: t.start - s.from, end: Math.min(t.end, s.to) - s.from })), s.tempo);
    const ticks = counts.flatMap((c) => this.tick(c.down, leadIn + (c.at - counts[0]!.at) / s.tempo));
    return { tones: [...ticks, ...moved.map((t) => ({ ...t, start: t.start + lead, end: t.end + lead }))], lead };
  }

  private tick(down: boolean, at: number): Tone[] {
    const like = this.data.tones.find((t) => isTick(t) && (t.attack === downbeat) === down);
    return like ? [{ ...like, start: at, end: at + like.end - like.start }] : [];
  }

  /** The second of the performance that is heard now; before the stretch while counting in. */
  now(): number {
    const s = this.stretch;
    return s ? s.from + (this.audio.currentTime - this.lead) * s.tempo : 0;
  }
}
