// Sends a recording in chunks and does not give up: what cannot be sent now is sent
// later, and only what no waiting mends comes back as an error.
import { Problem } from '../lib/api';

/** The calls that a recording is sent by. */
export type Way<T> = {
  /** Begins, or goes on: which chunks are there, and whether all were joined already. */
  begin(): Promise<{ held: number[]; joined: boolean }>;
  put(n: number, bytes: Uint8Array<ArrayBuffer>): Promise<void>;
  finish(chunks: number): Promise<T>;
};

/** Waits between tries, in ms: doubled from the first to the longest (estimates: a restart takes a second or two). */
const shortest = 250, longest = 8000;
/** So often a chunk may arrive damaged, or be missing at the end, before something else must be wrong (estimate). */
const rounds = 5;

/** What becomes of what was recorded while the program cannot be reached; and of a file. */
export const recorded = 'What you recorded is kept in this browser and goes on', file = 'Keep this page open: the file goes on';

/** What to say while waiting after an error; null where waiting does not help. */
export function waiting(e: unknown, goesOn: string): string | null {
  if ((e as Error | null)?.name === 'TimeoutError') return `The program does not answer. ${goesOn} when it does.`;
  if (!(e instanceof Problem)) return null;
  if (e.status === 0) return `The program does not answer. ${goesOn} when it is back.`;
  if (e.status === 403) return `The program was started anew and does not know this browser yet: open the address that it printed in another tab. ${goesOn} then.`;
  if (e.status === 507) return `${sentence(e.message)} ${goesOn} when there is room on the disk.`;
  if (e.status === 429 || e.status >= 500) return `${sentence(e.message)} ${goesOn} when it is back.`;
  return null;
}

/** A message of the program as a sentence. */
export function sentence(text: string): string {
  const end = text.replace(/[.\s]*$/, '.');
  return end.slice(0, 1).toUpperCase() + end.slice(1);
}

const sleep = (ms: number) => new Promise<void>((r) => setTimeout(r, ms));

/** Thrown out of a wait when the sending is given up. */
class Ended extends Error {}

export class Sender<T> {
  sent = 0; // chunks that the program has
  private queue: number[] = [];
  private held = new Set<number>();
  private total = 0; // chunks altogether, once known
  private over = false;
  private wake = () => {};

  constructor(
    private readonly way: Way<T>,
    private readonly bytes: (n: number) => Promise<Uint8Array<ArrayBuffer>>,
    /** Says why it waits, or with '' that it goes on; `sent` has moved then. */
    private readonly tell: (why: string) => void,
    private readonly goesOn: string,
    private readonly pause: (ms: number) => Promise<void> = sleep,
  ) {}

  /** A chunk is ready to be sent. */
  offer(n: number): void {
    this.queue.push(n);
    this.wake();
  }

  /** There are so many chunks altogether, all offered. */
  end(total: number): void {
    this.total = total;
    this.wake();
  }

  /** Gives up. */
  stop(): void {
    this.over = true;
    this.wake();
  }

  /** Sends until all is there; null when it was given up. */
  async run(): Promise<T | null> {
    try {
      await this.begin();
      for (let round = 0; ; round++) {
        await this.drain();
        try {
          return await this.insist(() => this.way.finish(this.total));
        } catch (e) {
          // The program lost something meanwhile: ask what it has, and send the rest.
          if (!(e instanceof Problem && (e.status === 404 || e.status === 409)) || round === rounds) throw e;
          await this.begin();
          for (let n = 0; n < this.total; n++) this.offer(n);
        }
      }
    } catch (e) {
      if (e instanceof Ended) return null;
      throw e;
    }
  }

  private async begin(): Promise<void> {
    const { held, joined } = await this.insist(() => this.way.begin());
    this.held = joined ? new Set(Array.from({ length: this.total }, (_, n) => n)) : new Set(held);
    this.sent = this.held.size;
  }

  /** Sends what is offered, until the end is known and reached. */
  private async drain(): Promise<void> {
    for (;;) {
      if (this.over) throw new Ended();
      const n = this.queue.shift();
      if (n !== undefined) await this.send(n);
      else if (this.total > 0) return;
      else await new Promise<void>((r) => (this.wake = r));
    }
  }

  private async send(n: number): Promise<void> {
    if (this.held.has(n)) return;
    const bytes = await this.bytes(n);
    for (let round = 0; ; round++) {
      try {
        await this.insist(() => this.way.put(n, bytes));
        break;
      } catch (e) {
        if (!(e instanceof Problem) || round === rounds) throw e;
        if (e.status === 404) await this.begin(); // the program no longer knows the recording
        else if (e.status !== 422) throw e; // 422: damaged on the way
      }
    }
    this.held.add(n);
    this.sent = this.held.size;
    this.tell('');
  }

  /** Tries again and again where that helps, at growing intervals. */
  private async insist<A>(what: () => Promise<A>): Promise<A> {
    for (let wait = shortest; ; wait = Math.min(2 * wait, longest)) {
      if (this.over) throw new Ended();
      try {
        const answer = await what();
        this.tell('');
        return answer;
      } catch (e) {
        const why = waiting(e, this.goesOn);
        if (why === null) throw e;
        this.tell(why);
        await this.pause(wait);
      }
    }
  }
}
