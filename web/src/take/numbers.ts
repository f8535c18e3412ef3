// Measured numbers in words: a typographic minus, and with each its uncertainty.
import type { HeardNote, Measures } from '../lib/heard';

/**
 * How many standard uncertainties a number's ± stands for, as in the findings
 * (published: JCGM 100:2008, coverage of about 95 %).
 */
export const coverage = 2;

/** A number with so many decimals and a minus sign that is one; no "−0". */
export function number(value: number, decimals = 0): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** "+12", "−7", "0". */
export function signed(value: number, decimals = 0): string {
  const text = number(value, decimals);
  return Number(value.toFixed(decimals)) > 0 ? `+${text}` : text;
}

/** "17 ± 3": the uncertainty doubled, and never less than one of the last place. */
export function withDoubt(value: number, standard: number, decimals = 0): string {
  return `${number(value, decimals)} ± ${Math.max(standard * coverage, 10 ** -decimals).toFixed(decimals)}`;
}

/** "17 ± 3 cents sharp" and of what, or "in tune, 0 ± 1 cents". */
export function tuned(cents: number, standard: number, against = ''): string {
  const size = withDoubt(Math.abs(cents), standard);
  if (Number.parseFloat(size) === 0) return `in tune, ${size} cents`;
  return `${size} cents ${cents > 0 ? 'sharp' : 'flat'}${against && ` ${against}`}`;
}

/** "12 ± 5 ms late" and by which beat, or "on the beat, 0 ± 5 ms". */
export function timed(ms: number, standard: number, by = ''): string {
  const size = withDoubt(Math.abs(ms), standard);
  if (Number.parseFloat(size) === 0) return `on the beat, ${size} ms`;
  return `${size} ms ${ms > 0 ? 'late' : 'early'}${by && ` ${by}`}`;
}

/** What a pitch does within its note, where it is large enough to hear (limits of the findings). */
export const scoopLeast = 30, scoopLong = 0.06, driftLeast = 20, driftLong = 0.6; // cents, s, cents, s of note

export function courseWords(m: Pick<Measures, 'contour' | 'onset_s' | 'offset_s'>): string[] {
  const c = m.contour, out: string[] = [];
  if (scoops(m)) out.push(`began ${number(Math.abs(c.scoop_cents))} cents ${c.scoop_cents < 0 ? 'low' : 'high'} for ${number(c.scoop_s * 1000)} ms`);
  if (falls(m)) out.push(`left ${number(Math.abs(c.fall_cents))} cents ${c.fall_cents < 0 ? 'low' : 'high'} in its last ${number(c.fall_s * 1000)} ms`);
  if (drifts(m)) out.push(`${c.drift_cents < 0 ? 'sank' : 'rose'} ${number(Math.abs(c.drift_cents))} cents`);
  if (c.vibrato_hz > 0) out.push(`vibrato ${number(c.vibrato_hz, 1)} a second, ${number(c.vibrato_cents)} cents either way`);
  return out;
}

type Course = Pick<Measures, 'contour' | 'onset_s' | 'offset_s'>;
export const scoops = (m: Course): boolean => Math.abs(m.contour.scoop_cents) >= scoopLeast && m.contour.scoop_s >= scoopLong;
export const falls = (m: Course): boolean => Math.abs(m.contour.fall_cents) >= scoopLeast && m.contour.fall_s >= scoopLong;
export const drifts = (m: Course): boolean => Math.abs(m.contour.drift_cents) >= driftLeast && m.offset_s - m.onset_s >= driftLong;

/** Limits from which a deviation is spoken of, with their origin in the listening itself. */
export const tuneLimit = 10, tuneLeast = 3, lateLimit = 50, shortest = 0.12; // cents, cents, ms, s of note

/** Whether a note is out of tune beyond doubt. */
export function speaksTune(n: HeardNote, cents: number): boolean {
  if (n.state !== 'played' || n.onset_s === undefined || n.offset_s! - n.onset_s < shortest) return false;
  return Math.abs(cents) > tuneLimit + Math.max(tuneLeast, coverage * n.uncertainty!.cents);
}

/** Whether a note is off the beat beyond doubt. */
export const speaksTime = (n: HeardNote, ms: number): boolean => n.uncertainty !== undefined && Math.abs(ms) > lateLimit + coverage * n.uncertainty.late_ms;

/** "0:12.4", a moment of a recording. */
export function clock(seconds: number): string {
  const tenths = Math.round(Math.max(seconds, 0) * 10);
  return `${Math.floor(tenths / 600)}:${String(Math.floor(tenths / 10) % 60).padStart(2, '0')}.${tenths % 10}`;
}
