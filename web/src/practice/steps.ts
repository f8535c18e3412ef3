// A session of practice as steps that follow each other, and what becomes of them as
// time passes. All of it is plain values: the clock and the sound stand elsewhere.
import type { Item } from './api';

export type Step =
  /** Away from the segment: warm-up, reading, pause. */
  | { kind: 'free'; seconds: number }
  /** The reference sounds, the horn is down. */
  | { kind: 'listen'; seconds: number; bpm: number }
  | { kind: 'play'; seconds: number; bpm: number; turn: number; of: number }
  | { kind: 'rest'; seconds: number; turn: number; of: number; next: number | null }
  /** A take is recorded on its own screen; waits until somebody says so. */
  | { kind: 'record'; seconds: number };

/** How long a passage lasts at a tempo: with its count-in, and by itself. */
export type Lengths = (bpm: number) => { turn: number; passage: number };

/** How often the reference is heard before the first turn (estimate: once to hear it, once to sing along). */
const hearings = 2;

/** Is recorded, and so happens on the screen for takes. */
export const recorded = (item: Item): boolean => item.kind === 'take' || (item.kind === 'run' && (item.evidence ?? []).includes('listening'));

/** Has bars of its own to sound. */
export const sounds = (item: Item): boolean => (item.tempos ?? []).length > 0 && !recorded(item);

/** The steps of an item. The reference comes first where the item is new today. */
export function stepsOf(item: Item, lengths: Lengths, first: boolean): Step[] {
  const rest = item.rest_s;
  if (recorded(item)) return [{ kind: 'record', seconds: 0 }, { kind: 'rest', seconds: rest, turn: 1, of: 1, next: null }];
  const tempos = item.tempos ?? [];
  if (tempos.length === 0) return [{ kind: 'free', seconds: item.minutes * 60 }];
  const out: Step[] = [];
  if (first && item.kind !== 'run') out.push({ kind: 'listen', bpm: tempos[0]!, seconds: hearings * lengths(tempos[0]!).passage });
  tempos.forEach((bpm, i) => {
    out.push({ kind: 'play', bpm, seconds: lengths(bpm).turn, turn: i + 1, of: tempos.length });
    out.push({ kind: 'rest', seconds: rest, turn: i + 1, of: tempos.length, next: tempos[i + 1] ?? null });
  });
  return out;
}

/** Where a session stands in the steps of its item. */
export type Run = {
  item: number;
  step: number; // the number of steps when the item is over
  left: number; // seconds of the step
  spent: number; // seconds on the item
  cuts: number; // rests that were left early, today
  cutSeconds: number;
};

export const begun = (item: number, steps: readonly Step[], cuts = 0, cutSeconds = 0): Run => ({ item, step: 0, left: steps[0]?.seconds ?? 0, spent: 0, cuts, cutSeconds });
export const over = (run: Run, steps: readonly Step[]): boolean => run.step >= steps.length;
const waits = (step: Step | undefined): boolean => step?.kind === 'record';

/** Lets time pass. A step for takes waits, however long. */
export function advance(run: Run, steps: readonly Step[], seconds: number): Run {
  let { step, left } = run, rest = seconds, spent = run.spent;
  while (step < steps.length && rest > 0) {
    if (waits(steps[step])) {
      spent += rest;
      break;
    }
    const go = Math.min(left, rest);
    rest -= go;
    left -= go;
    spent += go;
    if (left <= 1e-9) left = steps[++step]?.seconds ?? 0;
  }
  return { ...run, step, left, spent };
}

/** Goes on to the next step. A rest that is left early is noted. */
export function skip(run: Run, steps: readonly Step[]): Run {
  if (over(run, steps)) return run;
  const cut = steps[run.step]!.kind === 'rest' && run.left >= 1;
  const step = run.step + 1;
  return { ...run, step, left: steps[step]?.seconds ?? 0, cuts: run.cuts + (cut ? 1 : 0), cutSeconds: run.cutSeconds + (cut ? Math.round(run.left) : 0) };
}

/** Seconds into a step within which going back means the step before (estimate). */
const justBegun = 3;

/** Goes back to the start of the step; soon after that, to the turn before. */
export function back(run: Run, steps: readonly Step[]): Run {
  const at = steps[run.step];
  let step = Math.min(run.step, steps.length - 1);
  if (!at || at.seconds - run.left < justBegun) step = run.step - 1;
  while (step > 0 && steps[step]!.kind === 'rest') step--;
  step = Math.max(step, 0);
  return { ...run, step, left: steps[step]?.seconds ?? 0 };
}

/** Whole minutes as they are entered: at least one of what was done at all. */
export const minutes = (run: Run): number => Math.max(1, Math.round(run.spent / 60));

/** The first item from one on that is not done; -1 for none. */
export function nextItem(items: readonly Item[], done: ReadonlySet<number>, from = 0): number {
  for (let i = from; i < items.length; i++) if (!done.has(i)) return i;
  return -1;
}
