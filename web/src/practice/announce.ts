// What comes now and what comes next, in words.
import type { Item } from './api';
import { label, rest, tempo } from './says';
import type { Run, Step } from './steps';

export type Words = { now: string; then: string };

/** The step in big letters, and the line under it. */
export function words(items: readonly Item[], run: Run, steps: readonly Step[]): Words {
  const step = steps[run.step], item = items[run.item];
  if (!step || !item) return { now: '', then: '' };
  return { now: now(step, item), then: then(items, run, steps) };
}

function now(step: Step, item: Item): string {
  switch (step.kind) {
    case 'free': return label(item);
    case 'listen': return `Listen, at ${tempo(step.bpm)}`;
    case 'play': return step.of === 1 ? `Once, at ${tempo(step.bpm)}` : `Turn ${step.turn} of ${step.of}, at ${tempo(step.bpm)}`;
    case 'rest': return 'Horn down';
    case 'record': return item.kind === 'take' ? 'Record a take' : 'Record one run';
  }
}

function then(items: readonly Item[], run: Run, steps: readonly Step[]): string {
  const step = steps[run.step]!, next = steps[run.step + 1];
  if (!next) {
    const item = items[run.item + 1];
    return item ? `then ${lower(label(item))}` : 'then today is done';
  }
  if (step.kind === 'rest' && next.kind === 'play') return `then turn ${next.turn} of ${next.of}, at ${tempo(next.bpm)}`;
  if (step.kind === 'listen' && next.kind === 'play') return next.of === 1 ? `then play it, at ${tempo(next.bpm)}` : `then ${next.of} turns of your own`;
  if (next.kind === 'rest') return `then rest ${rest(next.seconds)}`;
  return '';
}

const lower = (s: string) => s.charAt(0).toLowerCase() + s.slice(1);

/** The same as one sentence, for those who do not see it. */
export function announce(items: readonly Item[], run: Run, steps: readonly Step[]): string {
  const w = words(items, run, steps), item = items[run.item];
  const where = item && run.step === 0 && steps[0]?.kind !== 'free' ? `${label(item)}. ` : '';
  return `${where}${w.now}${w.then ? `, ${w.then}` : ''}.`;
}
