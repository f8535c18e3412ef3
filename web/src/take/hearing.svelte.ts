// One hearing of a take: which finding is looked at, where playing starts, what is
// looped and what is being written down.
import type { Finding, Mark, Sheet, TakeCard } from '../lib/api';
import { between, numbering, type Range } from '../lib/bars';
import type { Heard } from '../lib/heard';
import { written } from '../lib/marks';
import { room } from '../lib/room.svelte';
import type { Desk } from '../lib/sheet.svelte';
import { inOrder } from '../page/Stages.svelte';
import { barAt, barTime, pageBar, ringed } from './course';
import { runUp, type Listening } from './listening.svelte';
import { clock } from './numbers';
import type { Writing } from './RemarkForm.svelte';
import { view } from './view.svelte';
import { gapWords, placeOf, runs, type Place } from './where';

/** What a hearing needs to know, as it is now. */
export type Of = { heard: () => Heard; sheet: () => Sheet; card: () => TakeCard; sound: Listening; desk: Desk; reveal: (bar: number) => void };

export class Hearing {
  chosen = $state(-1);
  from = $state.raw({ at: 0, words: 'from the start' });
  writing = $state.raw<Writing | null>(null);

  readonly timeline = $derived.by(() => this.of.sheet().timeline);
  readonly runs = $derived.by(() => runs(this.of.heard(), this.timeline));
  readonly numbers = $derived.by(() => numbering(this.timeline));
  readonly printed = $derived.by(() => new Map((this.timeline.bars ?? []).map((b) => [b.index, b.bar])));
  readonly last = $derived.by(() => Math.max(...this.printed.keys()));
  readonly walked = $derived.by(() => inOrder(this.of.heard().findings));
  readonly first = $derived.by(() => (this.of.heard().first ?? []).flatMap((i) => this.walked.filter((w) => w.finding === this.of.heard().findings[i])));
  readonly rings = $derived.by(() => {
    const w = this.walked[this.chosen];
    return w ? ringed(w.finding, this.numbers, this.last) : [];
  });
  readonly remarks = $derived.by(() =>
    written(this.of.sheet()).remarks.filter((m) => m.remark!.take === this.of.card().id).toSorted((a, b) => (a.remark!.at_s ?? 0) - (b.remark!.at_s ?? 0)),
  );

  constructor(private readonly of: Of) {
    this.chosen = this.first[0]?.index ?? -1;
  }

  nameOf(index: number): string {
    return this.printed.get(index) ?? '';
  }

  /** Words for the place that a moment of the take is at. */
  words(at: number): string {
    const index = barAt(this.runs, this.timeline, at);
    return index >= 0 ? `from bar ${this.nameOf(index)}` : `from ${clock(at)}`;
  }

  /** What the clock says while it sounds. */
  now(place: Place | null): string {
    const where = place && !place.sure ? gapWords(place) : place ? `bar ${this.nameOf(pageBar(this.timeline, place.page))}` : '';
    return [clock(this.of.sound.now()), where].filter(Boolean).join(' · ');
  }

  /** Sets where playing starts; what plays jumps there. */
  start(at: number, words = this.words(at)): void {
    this.from = { at: Math.max(at, 0), words };
    const place = placeOf(this.runs, at);
    if (place) this.of.reveal(pageBar(this.timeline, place.page));
    if (this.of.sound.playing) this.playThere();
  }

  /** Plays, or stops and stays at the place. */
  play(): void {
    const sound = this.of.sound;
    if (sound.playing) {
      const at = sound.now();
      sound.stop();
      this.from = { at, words: this.words(at) };
      return;
    }
    this.sound(this.from.at);
  }

  /** Plays the chosen place, from a little before it. */
  playThere(): void {
    this.sound(Math.max(this.from.at - runUp, 0));
  }

  private sound(from: number): void {
    this.of.sound.play(from);
    if (this.of.sound.which === 'take') void this.of.sound.prepare(); // the reference, so that it is there when it is asked for
  }

  choose(index: number, f: Finding): void {
    this.chosen = index;
    const bar = ringed(f, this.numbers, this.last)[0]?.from;
    if (bar !== undefined) {
      const at = barTime(this.runs, this.timeline, bar, view.pass);
      if (at !== null) this.start(at, `from bar ${this.nameOf(bar)}`);
      this.of.reveal(bar);
    }
    room.say(`${f.says} ${f.do}`);
  }

  step(by: number): void {
    const next = this.walked[Math.min(Math.max(this.chosen + by, 0), this.walked.length - 1)];
    if (!next) return;
    this.choose(next.index, next.finding);
    document.querySelector(`[data-finding="${next.index}"]`)?.scrollIntoView({ block: 'nearest' });
  }

  /** The bar that sounds, or that playing starts from. */
  private here(): number {
    const sound = this.of.sound;
    return Math.max(barAt(this.runs, this.timeline, sound.playing ? sound.now() : this.from.at + 0.01), 0);
  }

  loop(r: Range | null): void {
    this.of.sound.setLoop(r);
    if (!r) return;
    if (!this.of.sound.take.loop) {
      this.of.sound.setLoop(null);
      room.say(`Bars ${this.nameOf(r.from)} to ${this.nameOf(r.to)} are not whole in this take`);
      return;
    }
    const at = barTime(this.runs, this.timeline, r.from, view.pass);
    if (at !== null) this.from = { at, words: `from bar ${this.nameOf(r.from)}` };
    room.say(`Looping bars ${this.nameOf(r.from)} to ${this.nameOf(r.to)}`);
  }

  /** Loops what is ringed, else the bar that sounds; again to stop. */
  toggleLoop(): void {
    const here = this.here();
    this.loop(this.of.sound.loop ? null : (this.rings[0] ?? { from: here, to: here }));
  }

  /** A bar was touched: playing starts there, or with Shift the loop goes up to it. */
  bar(index: number, shift: boolean): void {
    const at = barTime(this.runs, this.timeline, index, view.pass);
    if (shift) this.loop(between(this.here(), index));
    else if (at !== null) this.start(at, `from bar ${this.nameOf(index)}`);
    else room.say(`Bar ${this.nameOf(index)} is not in this take.`);
  }

  /** Opens a remark at a moment, else at the one that is heard; the sound waits. */
  remark(at: number | null = null, bar = ''): void {
    const sound = this.of.sound, moment = at ?? (sound.playing ? sound.now() : this.from.at), goOn = sound.playing;
    if (goOn) this.play();
    const index = barAt(this.runs, this.timeline, moment + 0.005);
    this.writing = { at: moment, where: bar || (index >= 0 ? this.nameOf(index) : ''), text: '', old: null, goOn };
  }

  edit(m: Mark): void {
    this.writing = { at: m.remark!.at_s ?? 0, where: m.remark!.where ?? '', text: m.remark!.text, old: m, goOn: false };
  }

  async keep(text: string, where: string): Promise<void> {
    const w = this.writing, { desk, sound } = this.of;
    if (!w) return;
    const remark = { take: this.of.card().id, at_s: Math.round(w.at * 1000) / 1000, where, text };
    const kept = w.old ? await desk.edit({ ...w.old, remark }, 'Remark changed') : await desk.set({ remark }, `Remark at ${clock(w.at)} written`);
    if (!kept || this.writing !== w) return;
    this.writing = null;
    if (w.goOn) sound.play(Math.max(w.at - runUp, 0));
  }
}
