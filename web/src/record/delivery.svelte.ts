// A recording on its way: sent, joined into a take, measured. One for each take.
import { api, Problem, type TakeCard } from '../lib/api';
import { room } from '../lib/room.svelte';
import { sentence } from './sender';

/** How often the measuring is asked after, in ms (estimate: quicker than the eye, few calls). */
const often = 150;

export class Delivery {
  step = $state<'sending' | 'measuring' | 'measured' | 'failed' | 'stuck'>('sending');
  /** Why it waits; it goes on by itself. */
  waits = $state('');
  /** What only the person can mend. */
  problem = $state('');
  /** Where chunks are kept, if not in this browser's store. */
  keeps = $state('');
  /** What is done of the sending, or of the measuring, 0 to 1; null while that is not known. */
  share = $state<number | null>(null);
  card = $state.raw<TakeCard | null>(null);
  /** The same recording was here before. */
  known = $state(false);
  /** Of a recording made here, once it has ended. */
  seconds = $state(0);
  loudest = $state<number | null>(null);
  lost = $state('');
  url = $state('');

  constructor(
    readonly id: string,
    readonly name: string,
  ) {}

  /** Waits for a take to come of it, and for its measure. */
  async follow(sending: Promise<TakeCard | null>): Promise<void> {
    try {
      const card = await sending;
      if (!card) return;
      this.card = card;
      this.known = card.id !== this.id;
      this.share = null;
      this.step = 'measuring';
      await this.measure(card.id);
    } catch (e) {
      this.stuck(e instanceof Problem ? e.message : `It could not be sent: ${e instanceof Error ? e.message : String(e)}`);
    }
  }

  stuck(why: string): void {
    this.step = 'stuck';
    this.waits = '';
    this.problem = why;
    room.say(why);
  }

  private async measure(id: string): Promise<void> {
    for (;;) {
      try {
        this.card = await api.take(id);
        this.waits = '';
      } catch (e) {
        if (!(e instanceof Problem && (e.status === 0 || e.status >= 500))) throw e;
        this.waits = 'The program does not answer. The take is there; it is measured when the program is back.';
      }
      const { state, share, reason } = this.card!;
      if (state === 'measured' || state === 'failed') {
        this.step = state;
        this.problem = reason ? sentence(reason) : '';
        room.say(state === 'measured' ? 'Measured' : this.problem);
        return;
      }
      if (state === 'measuring') this.share = share;
      await new Promise((r) => setTimeout(r, often));
    }
  }
}
