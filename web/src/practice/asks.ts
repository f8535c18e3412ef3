// What a turn asks of the program's reference: bars, tempo, and what is left out.
import type { Timeline } from '../lib/api';
import { numbering, range } from '../lib/bars';
import type { Item, Pair, Playing } from './api';
import type { Ask } from './clips';
import { acrossRepeat, opening } from './passage';
import { sounds } from './steps';

/** What is heard in a turn: all of it, every second bar, cues before entrances, nothing after the count-in. */
export type Hears = 'reference' | 'turns' | 'cues' | 'nothing';

export function asks(pair: Pair, timeline: Timeline, item: Item, bpm: number, hears: Hears = 'reference', click = false): Ask {
  const bars = item.bars ?? [], at = range(bars, numbering(timeline)) ?? { from: 0, to: 0 };
  const playing: Playing = { ...pair, bpm: opening(timeline, at.from, bpm) };
  const cut = item.kind === 'run' ? null : acrossRepeat(timeline, at.from, at.to);
  if (!cut) playing.conducted = true;
  if (!cut && item.kind !== 'run') Object.assign(playing, { from: bars[0], to: bars[1] ?? bars[0] });
  if (hears === 'cues') playing.playalong = true;
  if (hears === 'turns') playing.inner = '1,1';
  if (click) playing.click = true;
  return { playing, cut };
}

/** Whether no item before has the same bars. */
export function isNew(items: readonly Item[], index: number): boolean {
  const bars = (i: Item) => (i.bars ?? []).join('-');
  return !items.slice(0, index).some((i) => sounds(i) && bars(i) === bars(items[index]!));
}
