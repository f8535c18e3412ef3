// What a guide carries beside its text: where the music stands on the page, and
// what sounds.
import type { Timeline } from '../../lib/api';
import type { Moment } from '../../lib/score/moments';
import type { Tone } from './tone';

/** One layout of the part; all lengths in units of its drawing. */
export type Layout = {
  name: 'wide' | 'narrow';
  systems: { top: number; bottom: number; staff: number; foot: number }[]; // staff and foot: its outer lines
  bars: { system: number; left: number; right: number }[]; // by index on the page
  moments: Moment[];
};
export type Data = { layouts: Layout[]; timeline: Timeline; tones: Tone[]; unit: string };
