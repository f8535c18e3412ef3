// What can be handed out, each with what it is for.
import { query, request } from '../lib/api';

export type Size = 'a4' | 'letter';
export type Order = {
  key: string;
  name: string;
  what: string; // for the person who hands it out
  form: 'pdf' | 'guide' | 'calendar';
  contents?: 'all' | 'part' | 'walk' | 'lesson';
};

export const orders: Order[] = [
  { key: 'all', name: 'Part and walk', what: 'The marked part, then the walk through it in the order of work.', form: 'pdf', contents: 'all' },
  { key: 'part', name: 'Marked part', what: 'Positions, breaths and remarks over the notes, to play from.', form: 'pdf', contents: 'part' },
  { key: 'walk', name: 'Walk', what: 'What to look at first, bar by bar, and what to do about it.', form: 'pdf', contents: 'walk' },
  { key: 'lesson', name: 'Lesson sheet', what: 'The walk with your remarks, what the last take asks for, and room to write.', form: 'pdf', contents: 'lesson' },
];
export const guide: Order = {
  key: 'guide', name: 'Guide', form: 'guide',
  what: 'One file for any phone: the marked part, the walk, and the reference to play along with, as slow as wanted. It opens without the net and installs nothing.',
};
export const calendar: Order = {
  key: 'calendar', name: 'Practice calendar', form: 'calendar',
  what: 'The plan to the day of the recording, for the calendar of any phone or desk.',
};

export type Made = { blob: Blob; name: string };

/** Has it made; errors are in the program's words. */
export async function make(o: Order, sheet: { part: string; player: string }, paper: Size, lanes: boolean): Promise<Made> {
  const paths = {
    pdf: `/api/paper?${query({ ...sheet, form: 'pdf', paper, contents: o.contents, lanes })}`,
    guide: `/api/paper?${query({ ...sheet, form: 'guide' })}`,
    calendar: `/api/practice/calendar?${query(sheet)}`,
  };
  const endings = { pdf: 'pdf', guide: 'html', calendar: 'ics' };
  const response = await request('GET', paths[o.form]);
  return { blob: await response.blob(), name: fileName(response.headers.get('Content-Disposition') ?? '') || `${o.name}.${endings[o.form]}` };
}

/** The file name of a Content-Disposition header (RFC 6266): the encoded one first. */
export function fileName(header: string): string {
  const encoded = /filename\*=(?:utf-8|UTF-8)''([^;]+)/.exec(header)?.[1];
  if (encoded) {
    try {
      return decodeURIComponent(encoded.trim());
    } catch {
      // damaged: the plain one stands
    }
  }
  return /filename="((?:[^"\\]|\\.)*)"/.exec(header)?.[1]?.replace(/\\(.)/g, '$1') ?? /filename=([^;\s"]+)/.exec(header)?.[1] ?? '';
}

/** Letter where it is in use, A4 elsewhere (common practice: ISO 216 but in North America and a few others). */
export const usual = (languages: readonly string[]): Size => (/-(US|CA|MX|PH)$/i.test(languages[0] ?? '') ? 'letter' : 'a4');

/** Hands a made file to the browser's downloads. */
export function save({ blob, name }: Made): void {
  const url = URL.createObjectURL(blob);
  const link = Object.assign(document.createElement('a'), { href: url, download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000); // the download has begun by then
}
