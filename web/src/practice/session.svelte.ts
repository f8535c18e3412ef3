// Today's session as it runs: steps, the clock that moves them, and what sounds.
import type { Sheet } from '../lib/api';
import { room } from '../lib/room.svelte';
import type { Day, Item } from './api';
import { asks, type Hears, isNew } from './asks';
import { Awake } from './awake';
import { type Ask, type Clip, Clips } from './clips';
import type { PracticeDesk } from './desk.svelte';
import { type Memory, recall, remember } from './memory';
import { countIn } from './passage';
import { announce } from './announce';
import { advance, back, begun, minutes, nextItem, over, type Run, skip, sounds, type Step, stepsOf } from './steps';

/** How often the clock is read, in milliseconds (estimate: counts look steady). */
const tick = 100;

export class Session {
  run = $state.raw<Run | null>(null);
  steps = $state.raw<Step[]>([]);
  paused = $state(true);
  problem = $state('');
  clip = $state.raw<Clip | null>(null); // what sounds, or is about to
  hears = $state<Hears>('reference');
  click = $state(false);
  closed = $state(false); // all items of the day are done
  readonly clips = new Clips();
  private readonly awake = new Awake();
  private timer = 0;
  private last = 0;
  private holding = false; // sound is on its way: the clock waits
  private turn = 0;
  private since = '';

  constructor(
    private readonly desk: PracticeDesk,
    readonly sheet: Sheet,
    readonly day: Day,
  ) {}

  get items(): Item[] {
    return this.day.items ?? [];
  }
  get item(): Item | null {
    return this.run ? (this.items[this.run.item] ?? null) : null;
  }
  get step(): Step | null {
    return this.run ? (this.steps[this.run.step] ?? null) : null;
  }
  private get finished(): Set<number> {
    return new Set((this.desk.doc?.done ?? []).filter((d) => d.date === this.day.date).map((d) => d.item));
  }

  /** Goes on where this tab was, or with the first item that is not done. */
  async start(from = -1, paused = false): Promise<void> {
    this.timer = window.setInterval(() => this.passes(), tick);
    if (!paused) this.clips.wake();
    const m = recall(this.desk.pair.part, this.desk.pair.player, this.day.date);
    const kept = m && !this.finished.has(m.item) && (from < 0 || from === m.item) ? m : null;
    const item = kept?.item ?? (from >= 0 ? from : nextItem(this.items, this.finished));
    await this.open(item, m, kept, paused);
  }

  /** Opens an item; rests cut short so far come from `before`, its place from `kept`. */
  private async open(item: number, before: Run | null, kept: Memory | null = null, paused = false): Promise<void> {
    const it = this.items[item];
    if (!it) return this.close();
    const turn = ++this.turn;
    this.clips.stop();
    try {
      const lengths = await this.lengths(it);
      if (turn !== this.turn) return;
      this.steps = stepsOf(it, lengths, isNew(this.items, item));
    } catch (e) {
      this.problem = e instanceof Error ? e.message : String(e);
      return;
    }
    this.since = kept?.since ?? new Date().toISOString();
    this.run = begun(item, this.steps, before?.cuts, before?.cutSeconds);
    if (kept && kept.step < this.steps.length) this.run = { ...this.run, step: kept.step, left: kept.left, spent: kept.spent };
    this.paused = paused && this.step?.kind !== 'record'; // which waits anyway
    this.last = performance.now();
    void this.awake.keep();
    this.enter();
  }

  /** When the item began: a take recorded after it is the one that was asked for. */
  get began(): string {
    return this.since;
  }

  private asks(item: Item, bpm: number, hears: Hears = 'reference', click = false): Ask {
    return asks(this.desk.pair, this.sheet.timeline, item, bpm, hears, click);
  }

  private async lengths(item: Item): Promise<(bpm: number) => { turn: number; passage: number }> {
    const out = new Map<number, { turn: number; passage: number }>();
    for (const bpm of new Set(sounds(item) ? (item.tempos ?? []) : [])) {
      const t = await this.clips.timeline(this.asks(item, bpm));
      out.set(bpm, { turn: t.seconds, passage: t.seconds - countIn(t) });
    }
    return (bpm) => out.get(bpm) ?? { turn: 0, passage: 0 };
  }

  /** Begins a step: its sound, its words, and the sound of what follows. */
  private enter(): void {
    const { run, step, item } = this;
    this.clips.stop();
    this.clip = null;
    this.keep();
    if (!run || !step || !item) return;
    room.say(announce(this.items, run, this.steps));
    if (step.kind === 'play' || step.kind === 'listen') void this.sound(item, step);
    this.prefetch(item, run);
  }

  /** Fetches the next turn, or the first sound of the next item. What fails is told when it is its turn. */
  private prefetch(item: Item, run: Run): void {
    const next = this.steps.slice(run.step + 1).find((s) => s.kind === 'play');
    const after = this.items[run.item + 1];
    let ask: Ask | null = null;
    if (next?.kind === 'play') ask = this.asks(item, next.bpm, this.hears, this.click);
    else if (after && sounds(after)) ask = this.asks(after, after.tempos![0]!, 'reference', this.click);
    if (ask) void this.clips.clip(ask).catch(() => {});
  }

  private async sound(item: Item, step: Step & { bpm: number }): Promise<void> {
    const turn = ++this.turn;
    this.holding = true;
    try {
      const listens = step.kind === 'listen';
      const clip = await this.clips.clip(this.asks(item, step.bpm, listens ? 'reference' : this.hears, this.click));
      if (turn !== this.turn) return;
      this.clip = clip;
      this.problem = '';
      if (this.paused) return;
      if (listens) this.clips.again(clip);
      else this.clips.turn(clip, this.hears === 'nothing');
      performance.mark('turn');
    } catch (e) {
      if (turn === this.turn) this.problem = e instanceof Error ? e.message : String(e); // the turn is counted without sound
    } finally {
      if (turn === this.turn) this.holding = false;
      this.last = performance.now();
    }
  }

  private passes(): void {
    const now = performance.now(), gone = (now - this.last) / 1000;
    this.last = now;
    if (this.paused || this.holding || !this.run) return;
    const before = this.run.step;
    this.run = advance(this.run, this.steps, gone);
    if (over(this.run, this.steps)) void this.finish();
    else if (this.run.step !== before) this.enter();
  }

  /** Enters the item as done and opens the next. */
  async finish(): Promise<void> {
    const run = this.run;
    if (!run) return;
    this.paused = true;
    const turn = ++this.turn;
    const it = this.items[run.item]!;
    const took = it.kind === 'take' ? it.minutes : minutes(run);
    const entered = await this.desk.done(this.day.date, run.item, took, true);
    if (turn !== this.turn) return; // left, or gone on elsewhere
    if (!entered) {
      this.problem = this.desk.problem;
      return;
    }
    const done = this.finished;
    let next = nextItem(this.items, done, run.item + 1);
    if (next < 0) next = nextItem(this.items, done);
    if (next >= 0) return this.open(next, run);
    this.run = { ...run, step: this.steps.length };
    this.keep(false);
    this.close();
    room.say('All of today is done.');
  }

  pause(): void {
    if (!this.run || this.closed) return;
    this.paused = !this.paused;
    if (this.paused) {
      this.clips.stop();
      this.keep();
      room.say('Paused.');
      return;
    }
    this.clips.wake();
    // A turn that was broken off starts again.
    const { step } = this;
    if (step?.kind === 'play') this.run = { ...this.run, left: step.seconds };
    this.last = performance.now();
    this.enter();
  }

  skip(): void {
    if (!this.run || this.closed) return;
    this.go(skip(this.run, this.steps));
  }

  back(): void {
    if (!this.run || this.closed) return;
    this.go(back(this.run, this.steps));
  }

  private go(run: Run): void {
    this.turn++;
    this.holding = false;
    this.paused = false;
    this.last = performance.now();
    this.run = run;
    if (over(run, this.steps)) void this.finish();
    else this.enter();
  }

  /** Leaves an item undone for now and opens another. */
  to(item: number): void {
    void this.open(item, this.run);
  }

  /** Takes up what is heard, or the click, from the next turn on; at once while a turn is counted in. */
  change(to: { hears?: Hears; click?: boolean }): void {
    if (to.hears) this.hears = to.hears;
    if (to.click !== undefined) this.click = to.click;
    const { step, run } = this;
    if (step?.kind === 'play' && run && !this.paused) this.go({ ...run, left: step.seconds });
  }

  private keep(open = true): void {
    if (this.run) remember(this.desk.pair.part, this.desk.pair.player, { ...this.run, date: this.day.date, since: this.since, open });
  }

  private close(): void {
    this.closed = true;
    this.paused = true;
    this.clips.stop();
    this.awake.release();
  }

  /** Puts the session away; `left` by somebody's wish, else it opens again with the page. */
  end(left: boolean): void {
    clearInterval(this.timer);
    if (!this.closed) this.keep(!left);
    this.turn++;
    this.clips.close();
    this.awake.close();
  }
}
