// All takes of a part for one player, kept up to date while some are measured and
// when another tab changes them.
import { api, Problem, type TakeCard, type TrendPoint } from '../lib/api';
import { room } from '../lib/room.svelte';
import { compare, type Comparison } from './api';
import { names, sentence } from './words';

/** Milliseconds between two looks: while takes are measured, which needs a second or two; and otherwise, for what comes from another tab. */
const look = 250, calm = 5000;
const busy = (t: TakeCard) => t.state === 'queued' || t.state === 'measuring';
/** What of the takes the order and the trend follow from. */
const state = (cards: readonly TakeCard[]) => cards.map((t) => `${t.id} ${t.revision} ${busy(t)}`).join();

export class Takes {
  cards = $state.raw<TakeCard[]>([]); // newest first
  comparison = $state.raw<Comparison | null>(null);
  points = $state.raw<TrendPoint[]>([]);
  loaded = $state(false);
  problem = $state('');
  done = $state(''); // the last change, while it can be taken back here
  names = $derived(names(this.cards));
  chosen = $derived(this.cards.find((t) => t.chosen) ?? null);
  measuring = $derived(this.cards.filter(busy));
  private sheet: { part: string; player: string } | null = null; // that is looked at; null once it was left
  private timer = 0;
  private away = false; // the program did not answer the last look
  private turn = 0;

  ask(part: string, player: string): void {
    this.sheet = { part, player };
    Object.assign(this, { cards: [], comparison: null, points: [], loaded: false, problem: '', done: '' });
    void this.load();
  }

  /** Loads all anew: the takes, their order and their trend. */
  async load(): Promise<void> {
    const { sheet } = this;
    if (!sheet) return;
    const turn = ++this.turn;
    clearTimeout(this.timer);
    try {
      // The cards first: what follows from the takes is then never older than what they say of themselves.
      const cards = await api.takes(sheet);
      const [comparison, points] = await Promise.all([compare(sheet.part, sheet.player), api.trend(sheet.part, sheet.player)]);
      if (turn !== this.turn) return;
      Object.assign(this, { cards, comparison, points, loaded: true, ...(this.away ? { problem: '' } : {}) });
      this.away = false;
    } catch (e) {
      if (turn !== this.turn) return;
      this.loaded = this.away = true;
      this.fail(e);
    }
    this.watch(turn);
  }

  /** The sheet is left: what is still on its way tells nothing. */
  stop(): void {
    this.sheet = null;
    this.turn++;
    clearTimeout(this.timer);
  }

  private watch(turn: number): void {
    const wait = this.measuring.length > 0 && !this.away ? look : calm;
    this.timer = window.setTimeout(() => void this.lookAgain(turn), wait);
  }

  private async lookAgain(turn: number): Promise<void> {
    const { sheet } = this;
    if (!sheet) return;
    if (document.visibilityState !== 'visible') return this.watch(turn);
    let cards = this.cards;
    try {
      cards = await api.takes(sheet);
      if (turn !== this.turn) return;
      if (this.away) this.problem = '';
      this.away = false;
    } catch (e) {
      if (turn !== this.turn) return;
      if (!this.away) this.fail(e);
      this.away = true;
    }
    const measured = this.measuring.length > 0 && !cards.some(busy), same = state(cards) === state(this.cards);
    this.cards = cards;
    if (measured) room.say('All takes are measured');
    if (same) this.watch(turn);
    else void this.load();
  }

  private fail(e: unknown): void {
    this.problem = e instanceof Problem ? e.message : String(e);
    room.say(this.problem);
  }

  name(id: string): string {
    return this.names.get(id)?.full ?? '';
  }

  /** Makes a change; when another tab was faster, shows what it did. */
  private async change(what: () => Promise<unknown>, says: string, undoable = true): Promise<boolean> {
    const { sheet } = this;
    this.problem = this.done = '';
    try {
      await what();
    } catch (e) {
      await this.load();
      if (sheet === this.sheet) this.fail(e instanceof Problem && e.status === 409 ? new Problem(409, `${sentence(e.message)} ${this.now()}`) : e);
      return false;
    }
    await this.load();
    if (sheet === this.sheet) this.done = undoable ? says : '';
    room.say(says);
    return true;
  }

  private now(): string {
    const c = this.chosen;
    return c ? `Now chosen: the take of ${this.name(c.id)}.` : 'No take is chosen now.';
  }

  choose(take: TakeCard, chosen: boolean): Promise<boolean> {
    const says = chosen ? `The take of ${this.name(take.id)} is the one to send.` : 'No take is chosen.';
    return this.change(() => api.chooseTake(take, chosen, chosen ? this.chosen?.id : ''), says);
  }

  ruleOut(take: TakeCard, why: string[]): Promise<boolean> {
    const says = why.length ? `The take of ${this.name(take.id)} is ruled out.` : `The take of ${this.name(take.id)} is no longer ruled out.`;
    return this.change(() => api.noteTake(take, why, take.note ?? ''), says);
  }

  note(take: TakeCard, note: string): Promise<boolean> {
    return this.change(() => api.noteTake(take, take.rule_out ?? [], note), `The note on the take of ${this.name(take.id)} is kept.`);
  }

  remove(take: TakeCard): Promise<boolean> {
    return this.change(() => api.deleteTake(take), `The take of ${this.name(take.id)} is removed, with the remarks on it.`);
  }

  measure(take: TakeCard): Promise<boolean> {
    return this.change(() => api.measureTake(take.id), `The take of ${this.name(take.id)} is measured again.`, false);
  }

  /** Takes back the last change of the sheet, and says which: it may be another tab's. */
  async undo(): Promise<void> {
    let says: string | undefined;
    const back = async () => ({ says } = (await api.undo(this.sheet!)) as { says?: string });
    if (await this.change(back, '', false)) room.say(says ? `Taken back: ${says}` : 'Taken back');
  }
}
