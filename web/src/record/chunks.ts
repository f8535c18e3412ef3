// Cuts what the microphone gives into chunks of a second, from a frame on.
import { pcm24 } from './pcm';

export type Chunk = { n: number; bytes: Uint8Array<ArrayBuffer>; frames: number };

export class Cutter {
  frames = 0; // passed on in chunks, or waiting to be
  private n = 0;
  private waiting: Float32Array[] = [];
  private held = 0;

  /** `start` is the frame of the context that is the first to be kept. */
  constructor(
    private readonly rate: number,
    private readonly start: number,
    private readonly pass: (chunk: Chunk) => void,
  ) {}

  add(first: number, samples: Float32Array): void {
    const skip = Math.max(0, this.start - first);
    if (skip >= samples.length) return;
    this.waiting.push(skip > 0 ? samples.subarray(skip) : samples);
    this.held += samples.length - skip;
    this.frames += samples.length - skip;
    if (this.held >= this.rate) this.flush();
  }

  /**
   * Passes on what waits. A frame that would make the number odd goes with the next
   * chunk, so that the sound always has an even number of bytes; at the end it is left out.
   */
  flush(): void {
    const all = new Float32Array(this.held);
    let at = 0;
    for (const samples of this.waiting) {
      all.set(samples, at);
      at += samples.length;
    }
    const even = all.length - (all.length % 2);
    this.waiting = even < all.length ? [all.subarray(even)] : [];
    this.held = all.length - even;
    if (even > 0) this.pass({ n: ++this.n, bytes: pcm24(all.subarray(0, even)), frames: even });
  }
}
