// The reference performance: decoded once for each setting and ready before the key
// is pressed. Clicks and count-in are made here, on the beats that the program
// names, so that they can change at any moment.
import { api, type SheetQuery, type Timeline } from './api';
import { Clicks } from './clicks';
import { sameplace } from './score/moments';

type Track = { key: string; buffer: AudioBuffer; timeline: Timeline };
export type Loop = { start: number; end: number };

/** Seconds between asking for sound and its start: what the audio thread needs (estimate). */
const lead = 0.02;

export class Sound {
  playing = $state(false);
  ready = $state(false);
  problem = $state('');
  click = $state(false);
  countIn = $state(1);
  loop = $state.raw<Loop | null>(null);
  private context: AudioContext | null = null;
  private track: Track | null = null;
  private wanted = '';
  private asked: [SheetQuery, Timeline] | null = null;
  private source: AudioBufferSourceNode | null = null;
  private began = 0; // the context's time at which the recording's second `offset` sounds
  private offset = 0;
  private clicks: Clicks | null = null;

  private audio(): AudioContext {
    this.context ??= new AudioContext({ latencyHint: 'interactive' });
    return this.context;
  }

  get output(): AudioContext {
    return this.audio();
  }

  /** Wakes the sound at the first touch: browsers keep it asleep until then. */
  wake(): void {
    if (this.audio().state === 'suspended') void this.audio().resume().catch(() => {}); // the page may close first
  }

  /** Fetches the performance of a sheet; while another plays, changes over at the same place. */
  async prepare(query: SheetQuery, timeline: Timeline): Promise<void> {
    const key = JSON.stringify(query) + timeline.seconds;
    if (key === this.wanted) return;
    this.wanted = key;
    this.asked = [query, timeline];
    this.ready = false;
    this.problem = '';
    try {
      const buffer = await this.audio().decodeAudioData(await api.sound(query));
      if (key !== this.wanted) return;
      const at = this.playing && this.track ? sameplace(this.track.timeline, timeline, this.now()) : null;
      this.track = { key, buffer, timeline };
      this.ready = true;
      if (at !== null) this.start(at, 0);
    } catch (e) {
      if (key !== this.wanted) return;
      this.wanted = ''; // to be tried again
      this.problem = e instanceof Error ? e.message : String(e);
    }
  }

  get timeline(): Timeline | null {
    return this.track?.timeline ?? null;
  }

  /** Plays from a second of the recording, after the count-in. What could not be fetched is asked for again instead. */
  play(from: number): void {
    if (!this.ready) {
      if (this.asked) void this.prepare(...this.asked);
      return;
    }
    this.wake();
    this.start(from, this.countIn);
  }

  private start(from: number, bars: number): void {
    this.silence();
    const track = this.track!, context = this.audio();
    const inside = this.loop && from >= this.loop.start - 1e-3 && from < this.loop.end - 1e-3 ? this.loop : null;
    this.clicks = new Clicks(context, track.timeline);
    const when = context.currentTime + lead;
    const counted = this.clicks.countIn(from, bars, when);
    const source = context.createBufferSource();
    source.buffer = track.buffer;
    source.connect(context.destination);
    if (inside) Object.assign(source, { loop: true, loopStart: inside.start, loopEnd: Math.min(inside.end, track.buffer.duration) });
    source.start(when + counted, from);
    source.onended = () => {
      if (this.source === source) this.stop();
    };
    this.source = source;
    this.began = when + counted;
    this.offset = from;
    this.playing = true;
    this.clicks.run(() => this.click, from, this.began, inside);
    performance.mark('sound', { detail: { lead: lead + (context.baseLatency || 0), from } });
  }

  private silence(): void {
    this.clicks?.stop();
    if (this.source) {
      this.source.onended = null;
      this.source.stop();
      this.source.disconnect();
    }
    this.source = null;
  }

  stop(): void {
    this.silence();
    this.playing = false;
  }

  /** Ends it for good: what is still on its way plays no more. */
  close(): void {
    this.stop();
    this.asked = null;
    this.wanted = 'closed';
    this.ready = false;
    void this.context?.close().catch(() => {}); // closed already
  }

  /** Changes the loop; what plays goes on at its place, or starts at the loop's. */
  setLoop(loop: Loop | null): void {
    this.loop = loop;
    if (!this.playing) return;
    const now = this.now();
    this.start(loop && (now < loop.start || now >= loop.end) ? loop.start : now, 0);
  }

  /** The second of the recording that sounds at a time of the context. */
  private at(time: number): number {
    const t = this.offset + time - this.began;
    const s = this.source;
    if (!s?.loop || t < s.loopEnd) return t;
    return s.loopStart + ((t - s.loopStart) % (s.loopEnd - s.loopStart));
  }

  /** The second of the recording that is heard now; before `from` while counting in. */
  now(): number {
    const heard = this.audio().currentTime - (this.audio().outputLatency || 0);
    return this.at(heard);
  }
}
