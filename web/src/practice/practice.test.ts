import { expect, test } from 'vitest';
import type { Timeline } from '../lib/api';
import { announce, words } from './announce';
import type { Day, Item, Practice } from './api';
import { asks, isNew } from './asks';
import { acrossRepeat, counted, cutOut, inPart, opening, shortest, tempoAt } from './passage';
import { inShort, ladder, label, says, turns } from './says';
import { advance, back, begun, minutes, nextItem, over, recorded, skip, type Step, stepsOf } from './steps';
import { addDays, minutesDone, monday, weeks } from './weeks';

const item = (over: Partial<Item> = {}): Item => ({
  kind: 'visit', bars: ['13', '18'], what: 'Sing it.', bpm: 63, unit: 'half', reps: 3, rest_s: 15, tempos: [63, 96, 63], minutes: 2,
  play_s: 30, strong_s: 0, hard: false, evidence: ['segments'], ...over,
});
const free = item({ kind: 'warm-up', bars: [], tempos: [], reps: 0, rest_s: 0, bpm: 0, minutes: 4 });
const take = item({ kind: 'take', bars: ['1', '32'], tempos: [96], reps: 1, rest_s: 180, minutes: 4 });
/** Four bars at 60 take 12 s and a count-in of 3 s; other tempos as much faster. */
const lengths = (bpm: number) => ({ turn: (15 * 60) / bpm, passage: (12 * 60) / bpm });
const kinds = (steps: Step[]) => steps.map((s) => s.kind).join(' ');

test('a visit is heard first, then played and rested in turn', () => {
  const steps = stepsOf(item(), lengths, true);
  expect(kinds(steps)).toBe('listen play rest play rest play rest');
  expect(steps[0]).toEqual({ kind: 'listen', bpm: 63, seconds: (2 * 12 * 60) / 63 });
  expect(steps[3]).toEqual({ kind: 'play', bpm: 96, seconds: (15 * 60) / 96, turn: 2, of: 3 });
  expect(steps[2]).toMatchObject({ kind: 'rest', seconds: 15, next: 96 });
  expect(steps[6]).toMatchObject({ kind: 'rest', next: null });
  expect(kinds(stepsOf(item(), lengths, false))).toBe('play rest play rest play rest');
});

test('what is not counted lasts its minutes, takes wait for somebody', () => {
  expect(stepsOf(free, lengths, true)).toEqual([{ kind: 'free', seconds: 240 }]);
  expect(kinds(stepsOf(take, lengths, true))).toBe('record rest');
  expect(recorded(item({ kind: 'run', evidence: ['listening', 'rest'] }))).toBe(true);
  expect(recorded(item({ kind: 'run', evidence: ['runs', 'rest'] }))).toBe(false);
  const run = advance(begun(0, stepsOf(take, lengths, true)), stepsOf(take, lengths, true), 1000);
  expect(run).toMatchObject({ step: 0, spent: 1000 });
});

test('time moves through the steps and is neither lost nor made', () => {
  const steps = stepsOf(item(), lengths, true), all = steps.reduce((sum, s) => sum + s.seconds, 0);
  let run = begun(2, steps);
  for (let t = 0; !over(run, steps); t++) {
    expect(t).toBeLessThan(2000);
    run = advance(run, steps, 0.1);
  }
  expect(run.spent).toBeCloseTo(all, 6);
  expect(run.item).toBe(2);
  const once = advance(begun(0, steps), steps, 1e6);
  expect(over(once, steps)).toBe(true);
  expect(once.spent).toBeCloseTo(all, 6);
  const into = advance(begun(0, steps), steps, steps[0]!.seconds + 4);
  expect(into).toMatchObject({ step: 1 });
  expect(into.left).toBeCloseTo(steps[1]!.seconds - 4, 6);
});

test('a rest that is left early is noted, a turn that is left early is not', () => {
  const steps = stepsOf(item(), lengths, false);
  let run = skip(begun(0, steps), steps); // out of the first turn
  expect(run).toMatchObject({ step: 1, left: 15, cuts: 0 });
  run = skip(advance(run, steps, 5), steps);
  expect(run).toMatchObject({ step: 2, cuts: 1, cutSeconds: 10 });
  run = skip(run, steps);
  run = skip(advance(run, steps, 14.5), steps);
  expect(run).toMatchObject({ step: 4, cuts: 1 }); // less than a second of it was left
  while (!over(run, steps)) run = skip(run, steps);
  expect(skip(run, steps)).toBe(run);
});

test('back is to the start of the turn, and soon after it to the turn before', () => {
  const steps = stepsOf(item(), lengths, false);
  const third = { ...begun(0, steps), step: 4, left: steps[4]!.seconds };
  expect(back(advance(third, steps, 5), steps)).toMatchObject({ step: 4, left: steps[4]!.seconds });
  expect(back(advance(third, steps, 1), steps)).toMatchObject({ step: 2, left: steps[2]!.seconds });
  expect(back({ ...third, step: 3, left: 10 }, steps)).toMatchObject({ step: 2 });
  expect(back(begun(0, steps), steps)).toMatchObject({ step: 0, left: steps[0]!.seconds });
});

test('minutes are whole and never none; the next item is one that is not done', () => {
  expect(minutes({ ...begun(0, []), spent: 10 })).toBe(1);
  expect(minutes({ ...begun(0, []), spent: 200 })).toBe(3);
  const items = [item(), item(), item()];
  expect(nextItem(items, new Set([0]))).toBe(1);
  expect(nextItem(items, new Set([1, 2]), 1)).toBe(-1);
  expect(nextItem(items, new Set([0, 1, 2]))).toBe(-1);
});

test('what comes now and next is said', () => {
  const steps = stepsOf(item({ tempos: [63, 76, 63, 76], reps: 4, rest_s: 30 }), lengths, true), items = [item(), free];
  const at = (step: number) => words(items, { ...begun(0, steps), step }, steps);
  expect(at(0)).toEqual({ now: 'Listen, at 63', then: 'then 4 turns of your own' });
  expect(at(3)).toEqual({ now: 'Turn 2 of 4, at 76', then: 'then rest 30 s' });
  expect(at(4)).toEqual({ now: 'Horn down', then: 'then turn 3 of 4, at 63' });
  expect(at(8)).toEqual({ now: 'Horn down', then: 'then warm-up' });
  expect(announce(items, begun(0, steps), steps)).toBe('Bars 13–18. Listen, at 63, then 4 turns of your own.');
  expect(words([item()], { ...begun(0, steps), step: 8 }, steps).then).toBe('then today is done');
});

test('items and days in short', () => {
  expect(label(item())).toBe('Bars 13–18');
  expect(label(item({ bars: ['4', '4'] }))).toBe('Bar 4');
  expect(turns(item())).toBe('half = 63 and 96 in turn, 3 times, rest 15 s after each');
  expect(turns(take)).toBe('half = 96, once, then rest 3 min');
  expect(turns(free)).toBe('');
  expect(ladder([76, 60, 76])).toBe('at 60 → 76');
  expect(ladder([63, 63])).toBe('at 63');
  expect(says(item({ kind: 'pause', what: 'Pause: put the horn down.' }))).toBe('Put the horn down.');
  const day: Day = { date: '2026-11-25', phase: 'late', focus: '', minutes: 20, limit_minutes: 20, play_s: 0, strong_s: 0,
    items: [free, item(), item({ kind: 'phrase' }), item({ tempos: [80] }), item({ kind: 'run' }), take, take] };
  expect(inShort(day)).toEqual(['13–18 at 63 → 96', 'a phrase', 'whole run', '2 mock takes']);
  expect(inShort({ ...day, phase: 'recording' }).at(-1)).toBe('up to 2 takes');
});

test('weeks start on Monday and know past, today, rest and what lies outside', () => {
  expect(monday('2026-11-25')).toBe('2026-11-23'); // a Wednesday (ISO 8601)
  expect(monday('2026-11-29')).toBe('2026-11-23');
  expect(monday('2026-11-30')).toBe('2026-11-30');
  expect(addDays('2026-12-31', 1)).toBe('2027-01-01');
  const day = (date: string) => ({ date, phase: 'early', focus: '', items: [item()], minutes: 3, limit_minutes: 9, play_s: 1, strong_s: 0 });
  const doc = {
    today: '2026-11-26', revision: 1, waiting: 0, terms: { by: '2026-12-01', days_per_week: 6, minutes: 45, since: '2026-11-24' },
    past: [day('2026-11-24')], done: [{ date: '2026-11-24', item: 0, minutes: 4 }, { date: '2026-11-26', item: 0, minutes: 3 }],
    plan: { by: '2026-12-01', days: ['2026-11-26', '2026-11-28', '2026-12-01'].map(day) },
  } as unknown as Practice;
  const got = weeks(doc);
  expect(got.map((w) => w.monday)).toEqual(['2026-11-23', '2026-11-30']);
  expect(got.flatMap((w) => w.days.map((c) => c.state))).toEqual(
    ['outside', 'past', 'past', 'today', 'off', 'ahead', 'off', 'off', 'ahead', 'outside', 'outside', 'outside', 'outside', 'outside']);
  expect(got[0]!.days[1]!.day?.date).toBe('2026-11-24');
  expect(got[0]!.days[2]!.day).toBeNull();
  expect(minutesDone(got[0]!.days[3]!.done)).toBe(3);
  expect(weeks({ ...doc, plan: null })).toEqual([]);
  const long = weeks({ ...doc, terms: { ...doc.terms, since: '2026-11-02' } });
  expect(long.map((w) => w.monday)).toEqual(['2026-11-23', '2026-11-30']); // nothing is known of the weeks before
});

/** Bars of two beats at 60, in the order in which they are played; a repeat comes back to an earlier bar. */
function played(order: number[], beat = 1): Timeline {
  const passes = new Map<number, number>();
  const bars = order.map((index, i) => {
    passes.set(index, (passes.get(index) ?? 0) + 1);
    return { bar: String(index + 1), index, pass: passes.get(index)!, start_s: 2 * i * beat };
  });
  const beats = order.flatMap((_, i) => [{ at_s: 2 * i * beat, down: true }, { at_s: (2 * i + 1) * beat, down: false }]);
  return { seconds: 2 * order.length * beat, tempo_bpm: 60 / beat, unit: 'half', bars, beats, notes: [{ id: 'n', pieces: ['n'], bar: order[1]!, pass: 1, start_s: 2 * beat, end_s: 3 * beat }] };
}

test('tempos of a passage come from the opening tempo', () => {
  const t = played([0, 1, 2, 3]);
  expect(tempoAt(t, 2)).toBe(60);
  expect(opening(t, 2, 45)).toBe(45);
  // The last two bars are twice as slow: 30 there is 60 at the start; a fermata on one beat only holds.
  t.bars![3]!.start_s = 8;
  t.beats = [0, 1, 2, 3, 4, 6, 8, 13].map((at_s, i) => ({ at_s, down: i % 2 === 0 }));
  t.seconds = 15;
  expect(tempoAt(t, 2)).toBe(30);
  expect(opening(t, 2, 15)).toBe(30);
  expect(tempoAt(t, 3)).toBe(30);
});

test('across a repeat a passage is the last time through', () => {
  const t = played([0, 1, 2, 0, 1, 3, 4]); // bar 2 is the first ending
  expect(shortest(t, 1, 3)).toEqual({ from: 4, to: 5 });
  expect(acrossRepeat(t, 1, 3)).toEqual({ from: 4, to: 5 });
  expect(acrossRepeat(t, 0, 1)).toBeNull();
  expect(acrossRepeat(t, 3, 4)).toBeNull();
  expect(shortest(t, 4, 2)).toBeNull();
  expect(shortest(played([0, 1, 3, 0, 1, 2, 3]), 1, 3)).toEqual({ from: 1, to: 2 });
  const cut = cutOut(t, { from: 4, to: 5 });
  expect(cut.seconds).toBe(6); // a bar of count-in and two bars
  expect(cut.bars!.map((b) => [b.index, b.start_s])).toEqual([[1, 2], [3, 4]]);
  expect(cut.beats!.map((b) => b.at_s)).toEqual([0, 1, 2, 3, 4, 5]);
});

test('a turn asks for its bars at its tempo; across a repeat for the whole part', () => {
  const pair = { part: 'p', player: 'q' }, straight = played([0, 1, 2, 3]), repeated = played([0, 1, 2, 0, 1, 3, 4]);
  const visit = item({ bars: ['2', '4'] });
  expect(asks(pair, straight, visit, 45)).toEqual({ playing: { ...pair, bpm: 45, from: '2', to: '4', conducted: true }, cut: null });
  expect(asks(pair, straight, visit, 45, 'turns', true).playing).toMatchObject({ inner: '1,1', click: true });
  expect(asks(pair, straight, visit, 45, 'cues').playing).toMatchObject({ playalong: true });
  expect(asks(pair, straight, item({ kind: 'run', bars: ['1', '4'] }), 60)).toEqual({ playing: { ...pair, bpm: 60, conducted: true }, cut: null });
  expect(asks(pair, repeated, visit, 45)).toEqual({ playing: { ...pair, bpm: 45 }, cut: { from: 4, to: 5 } });
  expect([0, 1, 2].map((i) => isNew([visit, item(), visit], i))).toEqual([true, true, false]);
});

test('the cursor stands in the part where the passage sounds', () => {
  const part = played([0, 1, 2, 0, 1, 3, 4]), passage = cutOut(played([0, 1, 2, 0, 1, 3, 4], 2), { from: 4, to: 5 });
  expect(inPart(passage, part, 1)).toBeNull(); // still counted in
  expect(inPart(passage, part, 4)).toBe(8);
  expect(inPart(passage, part, 6)).toBe(9);
  expect(inPart(passage, part, 12)).toBe(12);
});

test('a conductor counts and breathes on the last beat', () => {
  const t = cutOut(played([0, 1, 2]), { from: 1, to: 1 });
  expect(['0', '0.9', '1', '1.9'].map((s) => counted(t, Number(s)))).toEqual(['1', '1', 'Breathe', 'Breathe']);
  expect(counted(t, 2)).toBe('');
});
