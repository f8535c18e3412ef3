// A metronome on the beats of a performance, and the bars counted before it.
import type { Timeline } from './api';

/** Pitch in Hz and length in seconds of a click on the first beat and on others (estimates: clear above brass, short). */
const downbeat = 1760, upbeat = 1320, clickLength = 0.03;
/** Clicks are set this far ahead, this often (seconds; estimates, for a page in the background too). */
const ahead = 1.2, often = 0.25;

export type Beat = { at: number; down: boolean }; // seconds before the music starts, negative

/** The beats of so many bars before a moment, at the pace of the bar it lies in. */
export function counted(timeline: Timeline, from: number, bars: number): Beat[] {
  const beats = timeline.beats ?? [];
  if (bars <= 0 || beats.length < 2) return [];
  let first = beats.findLastIndex((b) => b.at_s <= from + 1e-3);
  if (first < 0) first = 0;
  const i = Math.min(first, beats.length - 2);
  const pace = beats[i + 1]!.at_s - beats[i]!.at_s;
  const down = beats.slice(0, first + 1).findLastIndex((b) => b.down);
  const next = beats.findIndex((b, k) => k > Math.max(down, 0) && b.down);
  const inBar = next > 0 ? next - Math.max(down, 0) : 2;
  const into = (from - beats[Math.max(down, 0)]!.at_s) / pace; // beats into the bar
  const out: Beat[] = [];
  // A start within a bar is led to by what of that bar comes before it.
  const total = inBar * bars + Math.floor(into + 1e-3);
  for (let k = 0; k < total; k++) out.push({ at: (k - inBar * bars - into) * pace, down: k % inBar === 0 });
  return out;
}

export class Clicks {
  private timer = 0;
  private nodes = new Set<OscillatorNode>();

  constructor(
    private readonly context: AudioContext,
    private readonly timeline: Timeline,
  ) {}

  /** Sets the count-in from a time of the context on; the seconds it takes. */
  countIn(from: number, bars: number, when: number): number {
    const beats = counted(this.timeline, from, bars);
    const length = -(beats[0]?.at ?? 0);
    for (const b of beats) this.sound(when + length + b.at, b.down);
    return length;
  }

  /** Clicks along while `on` says so; `loop` is what is repeated, if anything. */
  run(on: () => boolean, from: number, began: number, loop: { start: number; end: number } | null): void {
    let at = from, to = began; // the recording's second that sounds at the context's time
    const set = () => {
      while (to < this.context.currentTime + ahead) {
        const end = Math.min(at + often, loop?.end ?? Infinity);
        if (on()) this.stretch(at, end, to);
        to += end - at;
        at = loop && end >= loop.end ? loop.start : end;
      }
    };
    set();
    this.timer = window.setInterval(set, often * 1000);
  }

  private stretch(from: number, end: number, when: number): void {
    for (const beat of this.timeline.beats ?? []) {
      if (beat.at_s >= from - 1e-6 && beat.at_s < end - 1e-6) this.sound(when + beat.at_s - from, beat.down);
    }
  }

  private sound(when: number, down: boolean): void {
    const osc = this.context.createOscillator(), gain = this.context.createGain();
    osc.frequency.value = down ? downbeat : upbeat;
    gain.gain.setValueAtTime(down ? 0.5 : 0.3, when);
    gain.gain.exponentialRampToValueAtTime(0.001, when + clickLength);
    osc.connect(gain).connect(this.context.destination);
    osc.start(when);
    osc.stop(when + clickLength);
    this.nodes.add(osc);
    osc.onended = () => this.nodes.delete(osc);
  }

  stop(): void {
    clearInterval(this.timer);
    for (const n of this.nodes) n.stop();
    this.nodes.clear();
  }
}
