// Takes by their names, and their days in words. A take is called by the clock of
// where it was recorded, whatever the zone of this machine.
import type { TakeCard } from '../lib/api';

const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];

export type Name = {
  day: string; // "24 November"
  short: string; // "24 Nov"
  time: string; // "17:42"; with seconds where two takes share a minute
  full: string; // "24 November, 17:42"
};

/** The day and the clock of an RFC 3339 text, as they stand in it. */
export function wall(recorded: string): { date: string; time: string; seconds: string } {
  const [, date = '', time = '', seconds = '00'] = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::(\d\d))?/.exec(recorded) ?? [];
  return { date, time, seconds };
}

/** "24 November" for 2026-11-24; the text itself when it is no date. */
export function day(date: string, short = false): string {
  const [, m, d] = date.split('-').map(Number);
  const month = m && months[m - 1];
  return month && d ? `${d} ${short ? month.slice(0, 3) : month}` : date;
}

/** Days from the first of January 1970. */
export const dayNumber = (date: string): number => Date.parse(`${date}T00:00:00Z`) / 86_400_000;
/** The date of a day number. */
export const dateOf = (number: number): string => new Date(number * 86_400_000).toISOString().slice(0, 10);

/** Names of takes that tell all of them apart, by their ids. */
export function names(takes: readonly Pick<TakeCard, 'id' | 'recorded'>[]): Map<string, Name> {
  const minutes = new Map<string, number>();
  const minute = (t: { recorded: string }) => t.recorded.slice(0, 16);
  for (const t of takes) minutes.set(minute(t), (minutes.get(minute(t)) ?? 0) + 1);
  return new Map(
    takes.map((t) => {
      const w = wall(t.recorded);
      const time = minutes.get(minute(t))! > 1 ? `${w.time}:${w.seconds}` : w.time;
      return [t.id, { day: day(w.date), short: day(w.date, true), time, full: `${day(w.date)}, ${time}` }];
    }),
  );
}

/** How two takes are told apart in a sentence: "on 24 November", or "at 17:42" on one day. */
export function apart(a: Name, b: Name): [string, string] {
  return a.day === b.day ? [`at ${a.time}`, `at ${b.time}`] : [`on ${a.day}`, `on ${b.day}`];
}

/** "1 take", "12 takes" */
export const count = (n: number, what: string, many = `${what}s`): string => `${n} ${n === 1 ? what : many}`;

export const capital = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1);

/** An error's words as a sentence. */
export const sentence = (text: string): string => capital(text) + (/[.!?]$/.test(text) ? '' : '.');

/** A number with so many decimals and a true minus. */
export const figure = (v: number, digits = 0): string => (Object.is(Math.round(v * 10 ** digits), -0) ? 0 : v).toFixed(digits).replace('-', '−');

/** "6.9 MB": bytes as the file's owner sees them. */
export function bytes(n: number): string {
  return n < 1e6 ? `${figure(n / 1e3)} kB` : `${figure(n / 1e6, 1)} MB`;
}
