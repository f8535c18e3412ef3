// Items and days in few words.
import type { Day, Item } from './api';

/** "bar 4", "bars 4–7"; "" for none. */
export function barsOf(item: Item): string {
  const [a, b = a] = item.bars ?? [];
  if (a === undefined) return '';
  return a === b ? `bar ${a}` : `bars ${a}–${b}`;
}

const upper = (s: string) => s.charAt(0).toUpperCase() + s.slice(1);

export function label(item: Item): string {
  switch (item.kind) {
    case 'warm-up': return 'Warm-up';
    case 'away': return 'Without the horn';
    case 'run': return 'Whole part';
    case 'take': return 'Take';
    case 'pause': return 'Pause';
  }
  return upper(barsOf(item));
}

/** What an item says, without its name before it. */
export function says(item: Item): string {
  const name = `${label(item)}: `;
  return item.what.startsWith(name) ? upper(item.what.slice(name.length)) : item.what;
}

/** Tempos are shown as a metronome does. */
export const tempo = (bpm: number): string => String(Math.round(bpm * 10) / 10);

/** "15 s", "3 min": rests as the program's own words have them. */
export const rest = (seconds: number): string => (seconds > 90 ? `${Math.ceil(seconds / 60)} min` : `${Math.ceil(seconds)} s`);

/** "half = 63 and 96 in turn, 5 times, rest 15 s after each"; "" for what is not counted. */
export function turns(item: Item): string {
  const all = item.tempos ?? [];
  if (all.length === 0) return '';
  const [first, second] = all as [number, number?];
  const text = `${item.unit} = ${tempo(first)}` + (second !== undefined && second !== first ? ` and ${tempo(second)} in turn` : '');
  return all.length === 1 ? `${text}, once, then rest ${rest(item.rest_s)}` : `${text}, ${all.length} times, rest ${rest(item.rest_s)} after each`;
}

/** "at 63 → 96", the slower first; "at 63" when all are alike. */
export function ladder(tempos: readonly number[]): string {
  const low = Math.min(...tempos), high = Math.max(...tempos);
  if (!Number.isFinite(low)) return '';
  return low === high ? `at ${tempo(low)}` : `at ${tempo(low)} → ${tempo(high)}`;
}

/** A day in short: its places with their tempos, then phrases, runs and takes. */
export function inShort(day: Day): string[] {
  const items = day.items ?? [], out: string[] = [];
  const places = new Map<string, number[]>();
  for (const it of items) if (it.kind === 'visit') {
    const name = (it.bars ?? []).filter((b, i, all) => i === 0 || b !== all[0]).join('–');
    places.set(name, [...(places.get(name) ?? []), ...(it.tempos ?? [])]);
  }
  for (const [name, tempos] of places) out.push(`${name} ${ladder(tempos)}`);
  const phrases = items.filter((it) => it.kind === 'phrase').length, runs = items.filter((it) => it.kind === 'run').length;
  const takes = items.filter((it) => it.kind === 'take').length;
  if (phrases) out.push(phrases === 1 ? 'a phrase' : `${phrases} phrases`);
  if (runs) out.push('whole run');
  if (takes) {
    if (day.phase === 'recording') out.push(takes === 1 ? 'a take' : `up to ${takes} takes`);
    else out.push(takes === 1 ? 'mock take' : `${takes} mock takes`);
  }
  return out;
}

const zone = { timeZone: 'UTC' } as const;
const at = (iso: string) => new Date(`${iso}T00:00:00Z`);
/** "Wednesday, November 25" */
export const longDay = (iso: string): string => at(iso).toLocaleDateString('en-US', { weekday: 'long', month: 'long', day: 'numeric', ...zone });
/** "Wed, Nov 25" */
export const shortDay = (iso: string): string => at(iso).toLocaleDateString('en-US', { weekday: 'short', month: 'short', day: 'numeric', ...zone });
export const weekday = (iso: string): string => at(iso).toLocaleDateString('en-US', { weekday: 'short', ...zone });
export const monthDay = (iso: string): string => at(iso).toLocaleDateString('en-US', { month: 'short', day: 'numeric', ...zone });
