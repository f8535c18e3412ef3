// Cuts what the microphone gives into chunks of a second, from a frame on, and lets go
// of what waits for its second to fill a few times in it.
import { pcm24 } from './pcm';

/** Where the microphone gave nothing, in seconds of the recording; silence stands there, so that time goes on. */
export type Gap = { at: number; seconds: number };
export type Chunk = { n: number; bytes: Uint8Array<ArrayBuffer>; frames: number };

/** Gaps nearer than this are one, in seconds (estimate: one stutter). */
const near = 0.1;
/** Parts of a second after which what waits is kept: a crash costs no more (estimate: few writes, little loss). */
const parts = 4;

export class Cutter {
  frames = 0; // passed on in chunks, or waiting to be
  readonly gaps: Gap[] = [];
  private next = 0; // frame of the context that is to come
  private n = 0;
  private waiting: Float32Array[] = [];
  private held = 0;
  private kept = 0; // of what waits, when it was kept last

  /** `start` is the frame of the context that is the first to be kept. */
  constructor(
    private readonly rate: number,
    private readonly start: number,
    private readonly pass: (chunk: Chunk) => void,
    /** Takes the next chunk as far as it has come; it comes again, longer, until it is passed. */
    private readonly keep: (chunk: Chunk) => void = () => {},
  ) {}

  /** Adds what was heard from a frame on; for so many frames of it the microphone gave nothing. */
  add(first: number, samples: Float32Array, missing = 0): void {
    const lost = this.frames > 0 ? first - this.next : 0;
    this.next = first + samples.length;
    if (lost > 0) {
      this.gap(lost);
      this.take(new Float32Array(lost));
    }
    const skip = Math.max(0, this.start - first);
    if (skip >= samples.length) return;
    if (missing > 0 && this.frames > 0) this.gap(missing);
    this.take(skip > 0 ? samples.subarray(skip) : samples);
  }

  private gap(frames: number): void {
    const at = this.frames / this.rate, seconds = frames / this.rate, last = this.gaps.at(-1);
    if (last && at - last.at - last.seconds < near) last.seconds += seconds;
    else this.gaps.push({ at, seconds });
  }

  private take(samples: Float32Array): void {
    this.waiting.push(samples);
    this.held += samples.length;
    this.frames += samples.length;
    if (this.held >= this.rate) this.flush();
    else if (this.held - this.kept >= this.rate / parts) this.let();
  }

  private let(): void {
    this.kept = this.held;
    const all = this.joined(), even = all.length - (all.length % 2);
    if (even > 0) this.keep({ n: this.n + 1, bytes: pcm24(all.subarray(0, even)), frames: even });
  }

  private joined(): Float32Array {
    const all = new Float32Array(this.held);
    let at = 0;
    for (const samples of this.waiting) {
      all.set(samples, at);
      at += samples.length;
    }
    return all;
  }

  /**
   * Passes on what waits. A frame that would make the number odd goes with the next
   * chunk, so that the sound always has an even number of bytes; at the end it is left out.
   */
  flush(): void {
    const all = this.joined();
    const even = all.length - (all.length % 2);
    this.kept = 0;
    this.waiting = even < all.length ? [all.subarray(even)] : [];
    this.held = all.length - even;
    if (even > 0) this.pass({ n: ++this.n, bytes: pcm24(all.subarray(0, even)), frames: even });
  }
}
