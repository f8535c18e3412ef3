// The plan as weeks of seven days, Monday first.
import type { Day, Done, Practice } from './api';

/** past: before today; off: a day of rest; outside: before practice began or after the recording. */
export type State = 'past' | 'today' | 'ahead' | 'off' | 'outside';
export type Cell = { date: string; state: State; day: Day | null; done: Done[] };
export type Week = { monday: string; days: Cell[] };

const msOfDay = 86_400_000;

export function addDays(iso: string, days: number): string {
  return new Date(Date.parse(`${iso}T00:00:00Z`) + days * msOfDay).toISOString().slice(0, 10);
}

/** The Monday of a day's week (ISO 8601). */
export function monday(iso: string): string {
  const day = new Date(`${iso}T00:00:00Z`).getUTCDay();
  return addDays(iso, -((day + 6) % 7));
}

/** The weeks from the first day of practice to the recording, without those at the start of which nothing is known. */
export function weeks(doc: Practice): Week[] {
  if (!doc.plan) return [];
  const days = new Map<string, Day>();
  for (const d of [...(doc.past ?? []), ...(doc.plan.days ?? [])]) days.set(d.date, d);
  const all = [...days.keys()].sort();
  const first = [doc.today, doc.terms.since || doc.today, all[0] ?? doc.today].sort()[0]!;
  const last = [doc.plan.by, all.at(-1) ?? doc.today].sort().at(-1)!;
  const out: Week[] = [];
  for (let m = monday(first); m <= last; m = addDays(m, 7)) {
    out.push({ monday: m, days: [0, 1, 2, 3, 4, 5, 6].map((i) => cell(doc, days, addDays(m, i), first, last)) });
  }
  while (out.length > 1 && out[0]!.days.every((c) => !c.day && (c.state === 'past' || c.state === 'outside'))) out.shift();
  return out;
}

function cell(doc: Practice, days: Map<string, Day>, date: string, first: string, last: string): Cell {
  const day = days.get(date) ?? null;
  return { date, day, state: stateOf(date, doc.today, !!day, first, last), done: (doc.done ?? []).filter((d) => d.date === date) };
}

function stateOf(date: string, today: string, planned: boolean, first: string, last: string): State {
  if (date < first || date > last) return 'outside';
  if (date < today) return 'past';
  if (date === today) return 'today';
  return planned ? 'ahead' : 'off';
}

/** Minutes that were done on a day. */
export const minutesDone = (done: readonly Done[]): number => done.reduce((sum, d) => sum + d.minutes, 0);
