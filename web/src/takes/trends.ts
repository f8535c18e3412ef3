// What is followed over the days, and what became of it in a sentence.
import type { TrendPoint } from '../lib/api';
import { stages } from './figures';
import type { Dot, Through } from './plot';
import { capital, day, figure } from './words';

type Summary = TrendPoint['summary'];
export type Trend = {
  key: string;
  name: string;
  what: string; // what a dot says, with its unit
  unit: string; // after a number in a sentence
  digits: number;
  through: Through;
  fromZero: boolean;
  value: (s: Summary) => number | undefined;
};

const least = { through: 'best', fromZero: true } as const;
const middle = { through: 'middle', fromZero: false } as const;

export const trends: Trend[] = [
  { key: 'cents', name: 'Pitch', what: 'nine notes in ten within, cents', unit: 'cents', digits: 1, ...least, value: (s) => s.ninth_tenth_cents },
  { key: 'ms', name: 'Time', what: 'nine notes in ten within, ms', unit: 'ms', digits: 1, ...least, value: (s) => s.ninth_tenth_late_ms },
  { key: 'wrong', name: 'Notes', what: 'missed, or of another pitch', unit: 'notes', digits: 0, ...least, value: (s) => s.missed + s.other },
  { key: 'tempo', name: 'Tempo', what: 'beats a minute', unit: 'beats a minute', digits: 1, ...middle, value: (s) => s.tempo_bpm },
  { key: 'loudness', name: 'Loudness', what: 'of the recording, LUFS', unit: 'LUFS', digits: 1, ...middle, value: (s) => s.loudness_lufs },
];

/** Remarks by stage, drawn as low strips. */
export const remarks: Trend[] = stages.map((stage) => ({
  key: stage, name: capital(stage), what: 'remarks', unit: 'remarks', digits: 0, ...least, value: (s) => s.by_stage?.[stage]?.findings ?? 0,
}));

export function dots(points: readonly TrendPoint[], t: Trend): Dot[] {
  return points.flatMap((p) => {
    const value = t.value(p.summary);
    return value === undefined ? [] : [{ take: p.take, day: p.day, value, chosen: !!p.chosen, out: !!p.ruled_out }];
  });
}

/** What became of it: from the first day to the last. */
export function became(through: readonly { day: string; value: number }[], t: Trend): string {
  const first = through[0], last = through.at(-1);
  if (!first || !last) return 'Every take so far is ruled out.';
  const [a, b] = [figure(first.value, t.digits), figure(last.value, t.digits)];
  if (through.length === 1) return `${a} ${t.unit} on ${day(first.day)}, the one day so far.`;
  if (a === b) return `${a} ${t.unit} on ${day(first.day)}, and the same on ${day(last.day)}.`;
  return `${a} ${t.unit} on ${day(first.day)}, ${b} on ${day(last.day)}.`;
}
