// A take and what belongs to it: its state while it is measured, what was heard, the
// sheet's other takes, and what the coach decides about it.
import { api, Problem, type Player, type TakeCard } from '../lib/api';
import { failed, type FailedTake, type Heard } from '../lib/heard';
import { room } from '../lib/room.svelte';

/** Milliseconds between looks at a take that is being measured. */
const often = 150;

export class Take {
  card = $state.raw<TakeCard | null>(null);
  heard = $state.raw<Heard | null>(null);
  failure = $state.raw<FailedTake | null>(null);
  others = $state.raw<TakeCard[]>([]);
  players = $state.raw<Player[]>([]);
  problem = $state('');
  gone = $state(false);
  private timer = 0;
  private closed = false;
  private shown = ''; // when what is shown was measured

  /** `changed` is called with the take after each change that the sheet's history keeps, while the take is shown. */
  constructor(
    readonly id: string,
    private readonly changed: (card: TakeCard) => void,
  ) {}

  async load(): Promise<void> {
    try {
      await this.look();
      if (this.closed) return;
      const [others, season] = await Promise.all([api.takes({ part: this.card!.part, player: this.card!.player }), api.season()]);
      this.others = others;
      this.players = season.players ?? [];
    } catch (e) {
      this.fail(e);
    }
  }

  /** Looks how far the measuring is, and on until it is done. */
  private async look(): Promise<void> {
    clearTimeout(this.timer);
    const card = await api.take(this.id);
    if (this.closed) return;
    this.card = card;
    if (card.state === 'queued' || card.state === 'measuring') {
      this.timer = window.setTimeout(() => void this.look().catch((e: unknown) => this.fail(e)), often);
    }
    const at = card.measured?.at ?? '';
    if (!at || at === this.shown) return;
    const heard = await api.heard(this.id);
    if (this.closed) return;
    this.shown = at;
    if (failed(heard)) [this.failure, this.heard] = [heard, null];
    else [this.heard, this.failure] = [heard, null];
    if (card.state === 'measured') room.say('Measured.');
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
  }

  private fail(e: unknown): void {
    if (this.closed) return; // nobody is looking
    this.problem = e instanceof Problem ? e.message : String(e);
    room.say(this.problem);
  }

  /** Makes a change; the take as it is then, or the reason why not. */
  private async change(what: (card: TakeCard) => Promise<TakeCard>, says: string): Promise<boolean> {
    if (!this.card) return false;
    try {
      this.card = await what(this.card);
      this.problem = '';
      room.say(says);
      if (this.closed) return true; // the screen was left meanwhile
      this.changed(this.card);
      this.others = await api.takes({ part: this.card.part, player: this.card.player });
      return true;
    } catch (e) {
      this.fail(e);
      if (e instanceof Problem && e.status === 409) await this.look().catch(() => {});
      return false;
    }
  }

  note(text: string): Promise<boolean> {
    return this.change((c) => api.noteTake(c, c.rule_out ?? [], text), 'Note kept');
  }
  ruleOut(reasons: string[]): Promise<boolean> {
    return this.change((c) => api.noteTake(c, reasons, c.note ?? ''), reasons.length ? 'Ruled out' : 'No longer ruled out');
  }
  choose(chosen: boolean): Promise<boolean> {
    const now = this.others.find((t) => t.chosen && t.id !== this.id)?.id;
    return this.change((c) => api.chooseTake(c, chosen, chosen ? now : ''), chosen ? 'Chosen to be sent' : 'No longer chosen');
  }
  async measure(): Promise<void> {
    if (await this.change(() => api.measureTake(this.id), 'Measuring again')) await this.look().catch((e: unknown) => this.fail(e));
  }
  async remove(): Promise<void> {
    const card = this.card;
    if (!card) return;
    try {
      await api.deleteTake(card);
      this.gone = true;
      if (!this.closed) this.changed(card);
      room.say('The take is removed. It can be brought back.');
    } catch (e) {
      this.fail(e);
    }
  }
  /** Shows the take as it is after something was taken back or made again. */
  async again(): Promise<void> {
    this.shown = '';
    this.problem = '';
    try {
      await this.look();
      if (this.closed) return;
      this.gone = false;
      this.others = await api.takes({ part: this.card!.part, player: this.card!.player });
    } catch (e) {
      if (e instanceof Problem && e.status === 404) this.gone = true;
      else this.fail(e);
    }
  }
}
