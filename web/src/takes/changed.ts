// The bars that changed most between two takes, from what was heard in each.
import type { Heard } from '../lib/heard';
import { figure } from './words';

/** From where on a bar is spoken of, and how much it has to change: the limits of listening (10 cents are heard in a line, 50 ms beside the beat) and half of them. */
const limits = { cents: { off: 10, change: 5 }, ms: { off: 50, change: 25 } };
/** Sentences for better and for worse: more is no summary (estimate). */
const most = 3;

export type Change = { bar: string; pass: number; better: boolean; says: string };
type Bar = Heard['bars'][number];

export function changed(before: Heard, now: Heard, days: [string, string]): Change[] {
  const key = (b: Bar) => `${b.bar}/${b.pass ?? 1}`;
  const later = new Map(now.bars.map((b) => [key(b), b]));
  const found: (Change & { by: number })[] = [];
  for (const a of before.bars) {
    const b = later.get(key(a));
    if (!b) continue;
    look(a, a.late_ms, b.late_ms, limits.ms, inTime);
    look(a, a.cents_own, b.cents_own, limits.cents, inTune);
  }
  const sorted = found.toSorted((x, y) => y.by - x.by);
  return [true, false].flatMap((better) => sorted.filter((c) => c.better === better).slice(0, most));

  function look(at: Bar, x: number | null, y: number | null, limit: { off: number; change: number }, says: (v: number) => string): void {
    if (x === null || y === null || Math.max(Math.abs(x), Math.abs(y)) < limit.off) return;
    const by = Math.abs(x) - Math.abs(y);
    if (Math.abs(by) < limit.change) return;
    const where = `Bar ${at.bar}${at.pass && at.pass > 1 ? ', the second time' : ''}`;
    const text = `${where}: ${says(x)} on ${days[0]}, ${says(y)} on ${days[1]}.`;
    found.push({ bar: at.bar, pass: at.pass ?? 1, better: by > 0, by: Math.abs(by) / limit.off, says: text });
  }
}

function inTime(ms: number): string {
  const r = Math.round(ms);
  return r === 0 ? 'on the beat' : `${figure(Math.abs(r))} ms ${r > 0 ? 'late' : 'early'}`;
}

function inTune(cents: number): string {
  const r = Math.round(cents);
  return r === 0 ? 'in tune' : `${figure(Math.abs(r))} ${Math.abs(r) === 1 ? 'cent' : 'cents'} ${r > 0 ? 'sharp' : 'flat'}`;
}
