// Passages of the reference as they sound: fetched and decoded once for each wish,
// the next ones ahead of their turn.
import type { Timeline } from '../lib/api';
import { Clicks } from '../lib/clicks';
import { type Playing, practice } from './api';
import { countIn, type Cut, cutOut } from './passage';

/** What is to sound. With a cut it is a stretch of the whole part, counted in here. */
export type Ask = { playing: Playing; cut: Cut | null };
/** `start` is the second of the recording at which the first bar sounds; `whole` is there when the count-in is not in it. */
export type Clip = { buffer: AudioBuffer; timeline: Timeline; start: number; whole: Timeline | null };

/** How many decoded passages are kept (estimate: the tempos of a few items). */
const most = 8;
/** Samples a second of what the program sends. */
const rate = 48000;
/** Seconds between asking for sound and its start, and of the fade at its end (estimates). */
const lead = 0.02, fade = 0.04;

export class Clips {
  private made: AudioContext | null = null;
  private readonly decoder = new OfflineAudioContext(1, 1, rate);
  private readonly clips = new Map<string, Promise<Clip>>();
  private readonly timelines = new Map<string, Promise<Timeline>>();
  private source: AudioBufferSourceNode | null = null;
  private gain: GainNode | null = null;
  private clicks: Clicks | null = null;
  private began = 0; // the context's time of second 0 of the turn
  private loop: { start: number; end: number } | null = null;

  /** Made at the first touch: browsers keep sound asleep until then. */
  get context(): AudioContext {
    this.made ??= new AudioContext({ latencyHint: 'interactive' });
    return this.made;
  }

  private known(q: Playing): Promise<Timeline> {
    return kept(this.timelines, JSON.stringify(q), 64, () => practice.timeline(q));
  }

  async timeline(ask: Ask): Promise<Timeline> {
    const timeline = await this.known(ask.playing);
    return ask.cut ? cutOut(timeline, ask.cut) : timeline;
  }

  clip(ask: Ask): Promise<Clip> {
    return kept(this.clips, JSON.stringify(ask), most, async () => {
      const [whole, timeline, data] = await Promise.all([this.known(ask.playing), this.timeline(ask), practice.sound(ask.playing)]);
      const start = ask.cut ? whole.bars![ask.cut.from]!.start_s : countIn(timeline);
      return { timeline, start, whole: ask.cut && whole, buffer: await this.decoder.decodeAudioData(data) };
    });
  }

  wake(): void {
    if (this.context.state === 'suspended') void this.context.resume().catch(() => {}); // the page may close first
  }

  /** Counts in and sounds to the end, or counts in alone. */
  turn(clip: Clip, alone: boolean): void {
    const first = countIn(clip.timeline);
    this.stop();
    this.wake();
    const when = this.context.currentTime + lead;
    if (clip.whole) {
      this.clicks = new Clicks(this.context, clip.whole);
      this.clicks.countIn(clip.start, 1, when);
    }
    const end = alone ? first : clip.timeline.seconds;
    this.sound(clip, clip.whole ? first : 0, end, when, null);
  }

  /** Sounds again and again without a count-in. */
  again(clip: Clip): void {
    this.stop();
    this.wake();
    const start = countIn(clip.timeline);
    this.sound(clip, start, Infinity, this.context.currentTime + lead - start, { start, end: clip.timeline.seconds });
  }

  /** Sounds from one second of the turn to another; second 0 of the turn is at `when`. */
  private sound(clip: Clip, from: number, until: number, when: number, loop: { start: number; end: number } | null): void {
    const { context } = this, shift = clip.start - countIn(clip.timeline); // from the turn to the recording
    const source = context.createBufferSource(), gain = context.createGain();
    source.buffer = clip.buffer;
    source.connect(gain).connect(context.destination);
    if (loop) Object.assign(source, { loop: true, loopStart: loop.start + shift, loopEnd: Math.min(loop.end + shift, clip.buffer.duration) });
    source.start(when + from, from + shift);
    if (!loop && (clip.whole || until < clip.timeline.seconds)) { // else the recording ends by itself, its last note ringing out
      gain.gain.setTargetAtTime(0, when + until - fade, fade / 3);
      source.stop(when + until);
    }
    [this.source, this.gain, this.began, this.loop] = [source, gain, when, loop];
  }

  stop(): void {
    const { source, gain, context } = this;
    this.clicks?.stop();
    this.clicks = null;
    if (!source || !gain) return;
    gain.gain.setTargetAtTime(0, context.currentTime, fade / 3);
    source.stop(context.currentTime + fade);
    this.source = this.gain = this.loop = null;
  }

  /** The second of the turn that is heard; null when nothing sounds. */
  now(): number | null {
    if (!this.source) return null;
    const t = this.context.currentTime - (this.context.outputLatency || 0) - this.began;
    if (!this.loop || t < this.loop.end) return t;
    return this.loop.start + ((t - this.loop.start) % (this.loop.end - this.loop.start));
  }

  close(): void {
    this.stop();
    void this.made?.close();
  }
}

/** What was asked for before, or is asked for now; failures are not kept. */
function kept<T>(map: Map<string, Promise<T>>, key: string, limit: number, make: () => Promise<T>): Promise<T> {
  const known = map.get(key);
  if (known) return known;
  const made = make();
  map.set(key, made);
  made.catch(() => map.delete(key));
  while (map.size > limit) map.delete(map.keys().next().value!);
  return made;
}
