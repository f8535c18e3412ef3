// Times and sizes as people say them.
import type { Gap } from './chunks';

const two = (n: number) => String(n).padStart(2, '0');

/** "today 17:42", "yesterday 9:05", "24 November, 17:42". */
export function moment(recorded: string, now = new Date()): string {
  const at = new Date(recorded), clock = `${at.getHours()}:${two(at.getMinutes())}`;
  const day = (d: Date) => Date.UTC(d.getFullYear(), d.getMonth(), d.getDate()) / 86_400_000;
  const ago = day(now) - day(at);
  if (ago === 0) return `today ${clock}`;
  if (ago === 1) return `yesterday ${clock}`;
  const year = at.getFullYear() === now.getFullYear() ? '' : ` ${at.getFullYear()}`;
  return `${at.getDate()} ${at.toLocaleString('en', { month: 'long' })}${year}, ${clock}`;
}

/** A moment with the zone of the place, so that days are the player's: 2026-11-25T17:42:03+01:00. */
export function withZone(at: Date): string {
  const ahead = -at.getTimezoneOffset(), zone = `${ahead < 0 ? '-' : '+'}${two(Math.floor(Math.abs(ahead) / 60))}:${two(Math.abs(ahead) % 60)}`;
  return `${day(at)}T${two(at.getHours())}:${two(at.getMinutes())}:${two(at.getSeconds())}${zone}`;
}

const day = (at: Date) => `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;

/** Says where the microphone gave nothing; empty where it always gave something. */
export function gapWords(gaps: Gap[]): string {
  if (gaps.length === 0) return '';
  const most = 3, clock = (s: number) => `${Math.floor(s / 60)}:${two(Math.floor(s % 60))}`;
  const at = gaps.slice(0, most).map((g) => clock(g.at)).join(', '), more = gaps.length > most ? ` and at ${gaps.length - most} more moments` : '';
  const sum = gaps.reduce((n, g) => n + g.seconds, 0);
  return `At ${at}${more} the microphone gave nothing, ${sum.toFixed(2)} s in all; silence stands there. Listen before you send it.`;
}

/** What a recording's file is called. */
export const fileName = (title: string, name: string, at: Date) => `${title}, ${name}, ${day(at)} ${two(at.getHours())}.${two(at.getMinutes())}.wav`;

/** "12.3 MiB", as the program says it too; "2 GiB". */
export const size = (bytes: number) => (bytes < 2 ** 30 ? `${(bytes / 2 ** 20).toFixed(1)} MiB` : `${+(bytes / 2 ** 30).toFixed(1)} GiB`);

/** "−4.2 dBFS" */
export const level = (dbfs: number) => `${dbfs.toFixed(1).replace('-', '−')} dBFS`;
