// From the microphone to a tape: opens it, counts in, keeps every sample, and ends
// properly whatever ends it.
import { Clicks, counted, type Beat } from '../lib/clicks';
import type { Timeline } from '../lib/api';
import { room } from '../lib/room.svelte';
import { Cutter, type Chunk, type Gap } from './chunks';
import { Level, silence } from './level';
import { gapWords } from './words';
import { allowed, type Block, cannot, type Device, devices, type Mic, open, why } from './mic';

export type CountIn = 'off' | 'heard' | 'seen';
export type Phase = 'off' | 'opening' | 'ready' | 'counting' | 'recording' | 'stopping';
/** What a recording is handed to. */
export type Taker = { begin(rate: number): void; chunk(chunk: Chunk): void; part(chunk: Chunk): void; end(loudest: number, gaps: Gap[]): void };

/** Seconds kept before the music: the breath and the room (common practice). */
const before = 1;
/** Seconds from the press to the first beat of the count-in (estimate: the audio thread's lead, and time to look up). */
const lead = 0.15;

export class Recorder {
  phase = $state<Phase>('off');
  problem = $state('');
  notice = $state(''); // what happened while it recorded
  devices = $state.raw<Device[]>([]);
  disobeyed = $state.raw<string[]>([]);
  seconds = $state(0);
  beat = $state(0); // of the count-in, from 1
  beats = $state(0); // of the count-in altogether
  bar = $state(0); // beats to its bar
  level = $state.raw({ peak: silence, held: silence, loudest: silence, room: null as number | null });
  private mic: Mic | null = null;
  private meter = new Level();
  private cutter: Cutter | null = null;
  private clicks: Clicks | null = null;
  private taker: Taker | null = null;
  private opening: Promise<boolean> = Promise.resolve(false);
  private frame = 0;
  private timer = 0; // ends a count-in that draws no frames
  private ending: Promise<void> = Promise.resolve();
  private turn = 0;
  private left = false;

  get running(): boolean {
    return this.phase === 'counting' || this.phase === 'recording' || this.phase === 'stopping';
  }

  /** Opens the microphone where the browser asks nothing for it. */
  async openIfAllowed(device: string): Promise<void> {
    if (!cannot() && (await allowed())) await this.open(device); // which a screen that was left refuses
  }

  open(device: string): Promise<boolean> {
    return (this.opening = this.tryOpen(device));
  }

  private async tryOpen(device: string): Promise<boolean> {
    if (this.left) return false; // no microphone hears where nobody sees that it does
    this.close();
    this.problem = cannot();
    if (this.problem) return false;
    this.phase = 'opening';
    const turn = ++this.turn;
    try {
      const mic = await open(device);
      if (turn !== this.turn) return (mic.close(), false);
      this.use(mic);
      this.devices = await devices();
      return true;
    } catch (e) {
      if (turn === this.turn) {
        this.phase = 'off';
        this.problem = why(e);
        room.say(this.problem);
      }
      return false;
    }
  }

  private use(mic: Mic): void {
    this.mic = mic;
    this.meter = new Level();
    this.disobeyed = mic.disobeyed;
    this.phase = 'ready';
    mic.listen((block) => this.hear(block));
    mic.track.onended = () => this.lost('The microphone was unplugged.');
    mic.track.onmute = () => this.running && (this.notice = 'The system has silenced the microphone.');
    mic.context.onstatechange = () => {
      // Reported by phones when a call comes in, or when the machine goes to sleep.
      if (mic.context.state !== 'running' && this.phase === 'recording') this.lost('The system has stopped the sound.');
    };
    this.wake();
  }

  /** Wakes the sound at the first touch: browsers keep it asleep until then. */
  wake(): void {
    if (this.mic?.context.state === 'suspended') void this.mic.context.resume().catch(() => {}); // closed meanwhile
  }

  private hear(block: Block): void {
    const rate = this.mic!.context.sampleRate;
    this.meter.add(block.samples, rate);
    const { peak, held, loudest, room } = this.meter;
    this.level = { peak, held, loudest, room };
    if (!this.cutter) return;
    this.cutter.add(block.first, block.samples, block.missing);
    this.seconds = this.cutter.frames / rate;
    this.notice = gapWords(this.cutter.gaps) || this.notice;
  }

  /** Counts in and records. The microphone is opened first where it is not. */
  async start(how: CountIn, timeline: Timeline, device: string, taker: Taker): Promise<void> {
    if (this.running) return;
    if (this.phase === 'opening') await this.opening;
    if (this.phase !== 'ready' && !(await this.open(device))) return;
    const mic = this.mic!;
    await mic.context.resume();
    if (this.mic !== mic || this.phase !== 'ready') return;
    Object.assign(this, { taker, seconds: 0, notice: '', problem: '' });
    const beats = how === 'off' ? [] : counted(timeline, 0, 1);
    if (beats.length > 0) return this.count(how, timeline, beats);
    this.keepFrom(0);
    this.sounds();
  }

  private count(how: CountIn, timeline: Timeline, beats: Beat[]): void {
    const { context } = this.mic!;
    const first = context.currentTime + lead, music = first - beats[0]!.at;
    if (how === 'heard') {
      this.clicks = new Clicks(context, timeline);
      this.clicks.countIn(0, 1, first);
    }
    Object.assign(this, { phase: 'counting', beat: 0, beats: beats.length, bar: beats.findIndex((b, i) => i > 0 && b.down) });
    if (this.bar < 0) this.bar = beats.length;
    room.say('Counting in');
    this.keepFrom(Math.round(Math.max(first - lead, music - before) * context.sampleRate));
    const step = () => {
      const heard = context.currentTime - (context.outputLatency || 0);
      this.beat = beats.filter((b) => music + b.at <= heard).length;
      if (heard >= music) this.sounds();
      else this.frame = requestAnimationFrame(step);
    };
    this.frame = requestAnimationFrame(step);
    // A page in the background draws no frames.
    this.timer = window.setTimeout(() => this.phase === 'counting' && this.sounds(), (music - context.currentTime + 0.5) * 1000);
  }

  /** Keeps what is heard from a frame of the context on. */
  private keepFrom(frame: number): void {
    this.meter.reset();
    const part = (chunk: Chunk) => this.phase === 'recording' && this.taker?.part(chunk);
    this.cutter = new Cutter(this.mic!.context.sampleRate, frame, (chunk) => {
      this.sounds();
      this.taker?.chunk(chunk);
    }, part);
  }

  /** The count-in is over. */
  private sounds(): void {
    if (this.phase !== 'counting' && this.phase !== 'ready') return;
    this.phase = 'recording';
    cancelAnimationFrame(this.frame);
    clearTimeout(this.timer);
    this.clicks = null;
    this.taker!.begin(this.mic!.context.sampleRate);
    room.say('Recording');
  }

  /** Gives up the count-in. */
  cancel(): void {
    if (this.phase !== 'counting') return;
    this.silence();
    this.cutter = null;
    this.taker = null;
    this.phase = 'ready';
    room.say('Count-in stopped');
  }

  private silence(): void {
    cancelAnimationFrame(this.frame);
    clearTimeout(this.timer);
    this.clicks?.stop();
    this.clicks = null;
  }

  /** Ends what runs; called again it waits for the same end, so that nothing is closed before. */
  stop(because = ''): Promise<void> {
    if (this.phase === 'counting') this.cancel();
    if (this.phase === 'recording') this.ending = this.finish(because);
    return this.ending;
  }

  private async finish(because: string): Promise<void> {
    this.phase = 'stopping';
    await this.mic!.flush();
    const { gaps } = this.cutter!;
    this.cutter!.flush();
    this.cutter = null;
    this.phase = 'ready';
    room.say(because || 'Stopped');
    const taker = this.taker!;
    this.taker = null;
    taker.end(this.meter.loudest, gaps);
  }

  /** What was recorded until the microphone went is a recording. */
  private lost(because: string): void {
    void this.stop(because).then(() => {
      this.close();
      this.problem = because;
    });
  }

  /** Passes on what waits for its second to fill: the page may be put to sleep. */
  flush(): void {
    if (this.phase === 'recording') this.cutter?.flush();
  }

  /** The screen is left: what runs ends whole, and no microphone opens any more. */
  async leave(): Promise<void> {
    this.left = true;
    await this.stop();
    this.close();
  }

  close(): void {
    this.turn++;
    this.silence();
    this.mic?.close();
    this.mic = null;
    this.cutter = null;
    this.phase = 'off';
  }
}
