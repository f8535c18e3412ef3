// The figures of a take by stage, as the table and the differences show them.
import type { TakeCard } from '../lib/api';
import type { Stages } from './api';
import { apart, capital, figure, type Name } from './words';

export const stages = ['notes', 'rhythm', 'articulation', 'dynamics', 'choices'] as const;
export type Stage = (typeof stages)[number];
type Summary = NonNullable<TakeCard['measured']>['summary'];
/** What is known of a take; null where it was not measured, or not held against the page. */
export type Known = { summary: Summary; stages: Stages | null };

export type Row = { stage: Stage; name: string; unit: string | ((k: Known) => string); value: (k: Known) => string };

const none = '–';
const of = (v: number | undefined, digits: number) => (v === undefined ? none : figure(v, digits));
const remarks = (stage: Stage): Row => ({ stage, name: 'remarks', unit: '', value: ({ summary }) => String(summary.by_stage?.[stage]?.findings ?? 0) });

/** The rows of the table, in the order of the stages. Distances are without sign. */
export const rows: Row[] = [
  { stage: 'notes', name: 'right', unit: ({ summary: s }) => `of ${s.notes}`, value: ({ summary: s }) => String(s.played) },
  { stage: 'notes', name: 'missed', unit: '', value: ({ summary: s }) => String(s.missed) },
  { stage: 'notes', name: 'other pitch', unit: '', value: ({ summary: s }) => String(s.other) },
  { stage: 'notes', name: 'split', unit: '', value: ({ summary: s }) => String(s.split) },
  { stage: 'notes', name: 'extra', unit: '', value: ({ summary: s }) => String(s.extra) },
  { stage: 'notes', name: 'half within', unit: 'cents', value: ({ summary: s }) => of(s.median_cents, 1) },
  { stage: 'notes', name: 'nine in ten within', unit: 'cents', value: ({ summary: s }) => of(s.ninth_tenth_cents, 1) },
  { stage: 'notes', name: 'tuning', unit: 'A in Hz', value: ({ summary: s }) => of(s.tuning_hz, 1) },
  remarks('notes'),
  { stage: 'rhythm', name: 'tempo', unit: 'a minute', value: ({ summary: s }) => of(s.tempo_bpm, 1) },
  { stage: 'rhythm', name: 'half within', unit: 'ms', value: ({ summary: s }) => of(s.median_late_ms, 1) },
  { stage: 'rhythm', name: 'nine in ten within', unit: 'ms', value: ({ summary: s }) => of(s.ninth_tenth_late_ms, 1) },
  remarks('rhythm'),
  { stage: 'articulation', name: 'attack', unit: 'ms', value: ({ stages: s }) => of(s?.articulation.attack_ms, 0) },
  remarks('articulation'),
  { stage: 'dynamics', name: 'soft to loud', unit: 'dB', value: ({ stages: s }) => of(s?.dynamics.range_db, 1) },
  { stage: 'dynamics', name: 'hairpins heard', unit: '', value: ({ stages: s }) => (s ? `${s.dynamics.hairpins_heard} of ${s.dynamics.hairpins}` : none) },
  remarks('dynamics'),
  { stage: 'choices', name: 'breaths', unit: '', value: ({ summary: s }) => String(s.breaths) },
  remarks('choices'),
];

/** What no listener tells apart is not spoken of (estimates, well below what is heard in a line: 10 cents, 50 ms, 1 dB). */
const tells = { cents: 1, ms: 2, bpm: 0.5, db: 1 };

type Pair = { a: Known; b: Known; at: [string, string] };

/** What tells two takes apart, one sentence for each stage. */
export function differences(a: Known, b: Known, names: [Name, Name]): { stage: Stage; says: string }[] {
  const pair = { a, b, at: apart(...names) };
  const say: Record<Stage, (p: Pair) => string[]> = { notes, rhythm, articulation, dynamics, choices };
  return stages.map((stage) => {
    const said = [...say[stage](pair), ...remarked(stage, pair)];
    return { stage, says: said.length ? said.map(capital).join(' ') : 'Nothing that can be told apart.' };
  });
}

function notes({ a: { summary: a }, b: { summary: b }, at }: Pair): string[] {
  const out: string[] = [];
  if (a.played !== b.played) out.push(`${at[0]} ${a.played} of ${a.notes} notes are right, ${at[1]} ${b.played}.`);
  if (a.split !== b.split) out.push(`${a.split} split ${at[0]}, ${b.split} ${at[1]}.`);
  return [...out, ...within('lie', 'cents', tells.cents, [a.median_cents, a.ninth_tenth_cents], [b.median_cents, b.ninth_tenth_cents], at)];
}

/** How near half of the notes are, and nine in ten of them. */
function within(verb: string, unit: string, tell: number, a: [number, number], b: [number, number], at: [string, string]): string[] {
  if (Math.abs(a[0] - b[0]) < tell && Math.abs(a[1] - b[1]) < tell) return [];
  const [x, y] = [a, b].map((v) => v.map((n) => figure(n, 1))) as [string[], string[]];
  return [`half the notes ${verb} within ${x[0]} ${unit} and nine in ten within ${x[1]} ${at[0]}; within ${y[0]} and ${y[1]} ${at[1]}.`];
}

function rhythm({ a: { summary: a }, b: { summary: b }, at }: Pair): string[] {
  const out = within('come', 'ms of the beat', tells.ms, [a.median_late_ms, a.ninth_tenth_late_ms], [b.median_late_ms, b.ninth_tenth_late_ms], at);
  if (a.tempo_bpm && b.tempo_bpm && Math.abs(a.tempo_bpm - b.tempo_bpm) >= tells.bpm) {
    out.push(`it goes at ${figure(a.tempo_bpm, 1)} beats a minute ${at[0]}, at ${figure(b.tempo_bpm, 1)} ${at[1]}.`);
  }
  return out;
}

function articulation({ a: { stages: a }, b: { stages: b }, at }: Pair): string[] {
  if (!a || !b || Math.abs(a.articulation.attack_ms - b.articulation.attack_ms) < tells.ms) return [];
  return [`half the tongued notes speak within ${figure(a.articulation.attack_ms)} ms ${at[0]}, within ${figure(b.articulation.attack_ms)} ${at[1]}.`];
}

function dynamics({ a: { stages: a }, b: { stages: b }, at }: Pair): string[] {
  if (!a || !b) return [];
  const out: string[] = [], x = a.dynamics, y = b.dynamics;
  if (Math.abs(x.range_db - y.range_db) >= tells.db) {
    out.push(`from the softest passage to the loudest it goes ${figure(x.range_db, 1)} dB ${at[0]}, ${figure(y.range_db, 1)} ${at[1]}.`);
  }
  if (x.hairpins_heard !== y.hairpins_heard || x.hairpins !== y.hairpins) {
    out.push(`hairpins heard: ${x.hairpins_heard} of ${x.hairpins} ${at[0]}, ${y.hairpins_heard} of ${y.hairpins} ${at[1]}.`);
  }
  return out;
}

function choices({ a: { summary: a }, b: { summary: b }, at }: Pair): string[] {
  return a.breaths === b.breaths ? [] : [`${a.breaths} breaths ${at[0]}, ${b.breaths} ${at[1]}.`];
}

function remarked(stage: Stage, { a, b, at }: Pair): string[] {
  const [x, y] = [a, b].map((k) => k.summary.by_stage?.[stage]?.findings ?? 0) as [number, number];
  if (x === y) return [];
  const many = (n: number) => (n === 0 ? 'nothing' : `${n} ${n === 1 ? 'thing' : 'things'}`);
  return [`${many(x)} to remark ${at[0]}, ${many(y)} ${at[1]}.`];
}
