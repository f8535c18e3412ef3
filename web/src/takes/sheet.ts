// The check sheet of a take on screen and as text to paste into a message.
import type { TakeCard } from '../lib/api';
import { length } from '../lib/words';
import { bytes, figure } from './words';

type Whole = NonNullable<TakeCard['measured']>['check_sheet'];
type Sheet = Pick<
  Whole,
  'file_name' | 'bytes' | 'sha256' | 'seconds' | 'sample_rate' | 'channels' | 'peak_dbfs' | 'true_peak_dbtp' | 'loudness_lufs' | 'tuning_hz'
>;

/** What a panel's rules may ask of a recording, each with its unit. */
export function facts(s: Sheet): [string, string][] {
  return [
    ['Length', length(s.seconds)],
    ['Peak', `${figure(s.peak_dbfs, 1)} dBFS`],
    ['True peak', `${figure(s.true_peak_dbtp, 1)} dBTP`],
    ['Loudness', `${figure(s.loudness_lufs, 1)} LUFS`],
    ['Tuning', s.tuning_hz ? `A = ${figure(s.tuning_hz, 1)} Hz` : 'not measured'],
  ];
}

/** What the file is. */
export const file = (s: Sheet): string =>
  [s.file_name, bytes(s.bytes), `${figure(s.sample_rate / 1000, 1)} kHz`, s.channels === 1 ? 'one channel' : `${s.channels} channels`].join(', ');

/** The sheet as lines of text. */
export function text(s: Sheet): string {
  return [...facts(s), ['File', file(s)], ['SHA-256', s.sha256]].map(([name, value]) => `${name}: ${value}`).join('\n');
}
