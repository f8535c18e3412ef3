// The practice of one part for one player, as the program has it.
import { Problem } from '../lib/api';
import { room } from '../lib/room.svelte';
import { type Pair, type Practice, practice, type Terms } from './api';

/** How often to ask while takes are still measured, in milliseconds (estimate). */
const often = 700;

export class PracticeDesk {
  doc = $state.raw<Practice | null>(null);
  problem = $state('');
  busy = $state(false);
  private timer = 0;
  private turn = 0;
  private closed = false;

  constructor(readonly pair: Pair) {}

  async load(): Promise<void> {
    await this.take(() => practice.get(this.pair));
  }

  /** Sets the terms; the plan follows. Another tab's terms are loaded instead of being overwritten. */
  async set(terms: Terms): Promise<boolean> {
    const ok = await this.take(() => practice.set(this.pair, this.doc!.revision, terms));
    if (ok && !this.closed && this.doc?.plan) room.say(`The plan follows: ${this.doc.plan.days?.length ?? 0} days up to the recording.`);
    return ok;
  }

  done(date: string, item: number, minutes: number, done: boolean): Promise<boolean> {
    return this.take(() => practice.done(this.pair, date, item, minutes, done));
  }

  private async take(what: () => Promise<Practice>): Promise<boolean> {
    const turn = ++this.turn;
    clearTimeout(this.timer);
    this.busy = true;
    try {
      const doc = await what();
      if (turn !== this.turn) return true;
      this.doc = doc;
      this.problem = '';
      if (doc.waiting > 0) this.timer = window.setTimeout(() => void this.load(), often);
      return true;
    } catch (e) {
      if (this.closed) return false; // nobody is looking
      this.problem = e instanceof Problem ? e.message : String(e);
      room.say(this.problem);
      if (e instanceof Problem && e.status === 409 && turn === this.turn) this.doc = await practice.get(this.pair).catch(() => this.doc);
      return false;
    } finally {
      if (turn === this.turn) this.busy = false;
    }
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
    this.turn++;
  }
}
