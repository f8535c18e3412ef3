// The part in a line or two, in words.
import type { Sheet } from '../lib/api';
import { beat, key, length, pitch } from '../lib/words';

/** "F major · cut time, felt in two · half note = 96" */
export function opening(sheet: Sheet): string {
  const { keys, meters, tempos } = sheet.read;
  const k = keys?.[0], m = meters?.[0], t = tempos?.[0];
  const felt = ['', 'one', 'two', 'three', 'four', 'five', 'six'];
  const parts = [
    k && key(k.name),
    m && `${m.cut ? 'cut time' : `${m.beats}/${m.unit}`}${felt[m.felt_beats] && (m.cut || m.felt_beats !== m.beats) ? `, felt in ${felt[m.felt_beats]}` : ''}`,
    t && `${beat(t.unit)} = ${Math.round(t.bpm)}${t.assumed ? ' (assumed)' : ''}`,
  ];
  return parts.filter(Boolean).join(' · ');
}

/** "32 bars · 116 notes, F2 to F4 · 1:22 with repeats" */
export function extent(sheet: Sheet): string {
  const r = sheet.read;
  const compass = r.written.lowest ? `, ${pitch(r.written.lowest)} to ${pitch(r.written.highest)}` : '';
  return `${r.bars} bars · ${r.notes} notes${compass} · ${length(r.duration_s)} with repeats`;
}

/** "tenor trombone with F attachment, for Ines" */
export const player = (sheet: Sheet): string => sheet.horn.title + (sheet.player?.name ? `, for ${sheet.player.name}` : '');

/** The part's name where it says more than the instrument and the title. */
export function partName(sheet: Sheet, part: string): string {
  const known = (name: string) => name.trim().toLowerCase();
  return known(sheet.horn.title).startsWith(known(part)) || known(part) === known(sheet.part.title) ? '' : part;
}
