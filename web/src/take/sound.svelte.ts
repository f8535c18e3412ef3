// The recording of a take as it was sent, played where it lies: it starts before
// all of it has come, and seeks to the sample's neighborhood. What the browser
// cannot play is asked for as WAV.
import { Problem } from '../lib/api';

export type Loop = { start: number; end: number }; // seconds of the recording

export class TakeSound {
  playing = $state(false);
  ready = $state(false);
  problem = $state('');
  loop = $state.raw<Loop | null>(null);
  private readonly audio = new Audio();
  private asWave = false;

  constructor(private readonly id: string, mediaType: string) {
    this.audio.preload = 'auto';
    this.audio.preservesPitch = true;
    this.audio.addEventListener('canplay', () => (this.ready = true));
    this.audio.addEventListener('ended', () => this.ended());
    this.audio.addEventListener('timeupdate', () => this.tick());
    this.audio.addEventListener('error', () => void this.failed());
    // A first guess: "" stands for what surely cannot be played.
    if (mediaType && this.audio.canPlayType(mediaType) === '' && !mediaType.includes('wav')) void this.failed();
    else this.audio.src = this.address;
  }

  private get address(): string {
    return `/api/takes/${this.id}/audio${this.asWave ? '?as=wav' : ''}`;
  }

  private async failed(): Promise<void> {
    if (this.asWave) {
      this.playing = false;
      this.problem = await told(this.address);
      return;
    }
    this.asWave = true;
    this.audio.src = this.address;
    if (this.playing) await this.audio.play().catch(() => {});
  }

  /** Plays from a second of the recording on. */
  play(from: number): void {
    this.seek(from);
    this.playing = true;
    this.problem = '';
    this.audio.play().then(
      () => performance.mark('take-sound', { detail: { from } }),
      (e: unknown) => {
        if (e instanceof DOMException && e.name === 'AbortError') return; // stopped, or the source changed
        if (this.audio.error) return; // told by the error's own event
        this.playing = false;
        this.problem = 'The browser did not start the sound; press Play once more.';
      },
    );
  }

  stop(): void {
    this.playing = false;
    this.audio.pause();
  }

  seek(to: number): void {
    this.audio.currentTime = Math.max(to, 0);
  }

  /** 1 is as it was played; slower keeps the pitch. */
  setRate(rate: number): void {
    this.audio.playbackRate = rate;
    this.audio.defaultPlaybackRate = rate;
  }

  setLoop(loop: Loop | null): void {
    this.loop = loop;
    if (loop && this.playing && (this.now() < loop.start || this.now() >= loop.end)) this.seek(loop.start);
  }

  /** Goes back at the loop's end; to be called often while it plays. */
  tick(): void {
    if (this.playing && this.loop && this.now() >= this.loop.end && this.now() < this.loop.end + 1) this.seek(this.loop.start);
  }

  private ended(): void {
    if (this.playing && this.loop) this.play(this.loop.start);
    else this.playing = false;
  }

  /** The second of the recording that is heard now. */
  now(): number {
    return this.audio.currentTime;
  }

  close(): void {
    this.stop();
    this.audio.removeAttribute('src');
    this.audio.load();
  }
}

/** Why the recording cannot be had, in the program's words. */
async function told(address: string): Promise<string> {
  try {
    const answer = await fetch(address, { headers: { Range: 'bytes=0-1' } });
    if (answer.ok) return 'This browser cannot play the recording. Download it to listen.';
    return ((await answer.json()) as { detail?: string }).detail ?? answer.statusText;
  } catch {
    return new Problem(0, 'The program does not answer. Is it still running?').message;
  }
}
