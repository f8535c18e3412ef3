// Listening to a take with the page before one: the take and the reference as two
// sounds at one place, between which one can change at any moment.
import { api, type Sheet, type SheetQuery, type TakeCard, type Timeline } from '../lib/api';
import type { Range } from '../lib/bars';
import type { Heard } from '../lib/heard';
import { room } from '../lib/room.svelte';
import { sameplace } from '../lib/score/moments';
import { Sound } from '../lib/sound.svelte';
import { TakeSound } from './sound.svelte';
import { nearestTime, placeOf, takeTime, type Place, type Run } from './where';

/** Seconds that are heard before a place that was asked for, where that helps to come in (common practice: a beat or two). */
export const runUp = 1;

export class Listening {
  which = $state<'take' | 'reference'>('take');
  rate = $state(1);
  loop = $state.raw<Range | null>(null);
  /** The reference was asked for and is not there yet. */
  waiting = $state(false);
  readonly take: TakeSound;
  readonly reference = new Sound();
  private runs: Run[] = [];
  private page: Timeline | null = null;
  private timeline: Timeline | null = null;
  private wanted = '';
  private turn = 0; // what was asked for last
  private coming: Promise<boolean> = Promise.resolve(false);
  private closed = false;
  private stopped = 0; // second of the take where it was stopped last

  constructor(private readonly card: TakeCard) {
    this.take = new TakeSound(card.id, card.media_type);
    this.reference.countIn = 0;
  }

  /** What is known of the take's course; without it there is sound and no place. */
  know(runs: Run[], sheet: Sheet): void {
    this.runs = runs;
    this.page = sheet.timeline;
  }

  get playing(): boolean {
    return this.take.playing || this.reference.playing;
  }
  get problem(): string {
    return this.take.problem || this.reference.problem;
  }

  /** The second of the take that is heard, or that corresponds to what is heard of the reference. */
  now(): number {
    if (this.reference.playing) return nearestTime(this.runs, this.pageNow());
    return this.take.playing ? this.take.now() : this.stopped;
  }

  /** The page's time of what is heard of the reference. */
  private pageNow(): number {
    return this.page && this.timeline ? sameplace(this.timeline, this.page, this.reference.now()) : 0;
  }

  /** Where on the page the sound is; null where it is nowhere. */
  place(): Place | null {
    if (this.reference.playing) return { page: this.pageNow(), sure: true, why: '', to: '' };
    return placeOf(this.runs, this.now());
  }

  /** Plays what is chosen from a second of the take on. */
  play(from: number): void {
    if (this.closed) return;
    if (this.which === 'take') this.playTake(from);
    else void this.playReference(placeOf(this.runs, from)?.page ?? 0);
  }

  private playTake(from: number): void {
    this.turn++;
    this.waiting = false;
    this.reference.stop();
    this.take.setLoop(this.loopOf((page) => takeTime(this.runs, page)));
    this.take.play(from);
  }

  /** Plays the reference as soon as it is there; the take goes on until then, if it plays. */
  private async playReference(page: number): Promise<void> {
    const turn = ++this.turn;
    this.waiting = true;
    const there = await this.prepare();
    if (turn !== this.turn) return; // stopped, or back to the take
    this.waiting = false;
    if (!there || !this.page || !this.timeline) return;
    const from = this.take.playing ? (placeOf(this.runs, this.take.now())?.page ?? page) : page;
    this.take.stop();
    this.reference.setLoop(this.loopOf((t) => sameplace(this.page!, this.timeline!, t)));
    this.reference.play(Math.min(sameplace(this.page, this.timeline, from), this.timeline.seconds));
  }

  stop(): void {
    this.turn++;
    this.waiting = false;
    this.stopped = this.now();
    this.take.stop();
    this.reference.stop();
  }

  /** Changes between the take and the reference; what plays goes on at the same place. */
  change(): void {
    const was = this.playing, from = this.now(), page = this.place()?.page ?? 0;
    this.which = this.which === 'take' ? 'reference' : 'take';
    room.say(this.which === 'take' ? 'The take' : 'The reference');
    if (!was && !this.waiting) return;
    this.stopped = from;
    if (this.which === 'take') this.playTake(nearestTime(this.runs, page));
    else void this.playReference(page);
  }

  /** Fetches the reference at the pace of the take, once; whether it is there. */
  prepare(): Promise<boolean> {
    const bpm = Math.round((this.card.measured?.summary.tempo_bpm ?? 0) * this.rate * 10) / 10;
    const query: SheetQuery = { part: this.card.part, player: this.card.player, ...(bpm ? { bpm } : {}) };
    const key = JSON.stringify(query);
    if (key !== this.wanted) {
      this.wanted = key;
      this.coming = this.fetch(query, key);
    }
    return this.coming;
  }

  private async fetch(query: SheetQuery, key: string): Promise<boolean> {
    try {
      const { timeline } = await api.sheet(query);
      if (this.wanted !== key) return false;
      this.timeline = timeline;
      await this.reference.prepare(query, timeline);
      if (this.wanted !== key) return false;
      if (!this.reference.ready) this.wanted = ''; // to be tried again
      return this.reference.ready;
    } catch (e) {
      if (this.wanted !== key) return false; // something else was asked for meanwhile
      this.reference.problem = e instanceof Error ? e.message : String(e);
      this.wanted = ''; // to be tried again
      return false;
    }
  }

  setRate(rate: number): void {
    this.rate = rate;
    this.take.setRate(rate);
    if (this.which === 'reference' && this.playing) void this.playReference(this.pageNow());
  }

  setLoop(range: Range | null): void {
    this.loop = range;
    this.take.setLoop(this.loopOf((page) => takeTime(this.runs, page)));
    if (this.page && this.timeline) this.reference.setLoop(this.loopOf((t) => sameplace(this.page!, this.timeline!, t)));
  }

  /** The looped bars in seconds of a sound: the first turn of them that it has. */
  private loopOf(time: (page: number) => number | null): { start: number; end: number } | null {
    const bars = this.page?.bars ?? [], r = this.loop;
    if (!r) return null;
    for (let i = 0; i < bars.length; i++) {
      if (bars[i]!.index !== r.from) continue;
      const last = bars.findIndex((b, k) => k >= i && b.index === r.to);
      const start = time(bars[i]!.start_s), end = time((bars[last + 1]?.start_s ?? this.page!.seconds) - 0.01);
      if (last >= 0 && start !== null && end !== null && end > start) return { start, end };
    }
    return null;
  }

  /** Ends it for good: what is still on its way sounds no more. */
  close(): void {
    this.closed = true;
    this.turn++;
    this.wanted = '';
    this.take.close();
    this.reference.close();
  }
}
