// A finding beside its bars, as a block of a page.
import type { Finding, Sheet } from '../lib/api';
import { bars } from '../lib/words';
import { el } from './dom';

/** The printed bars of a finding for the margin: "9–11", "2, 6 …", "all". */
export function margin(f: Finding, sheet: Sheet): string {
  const last = (sheet.timeline.bars ?? []).reduce((a, b) => (b.index > a.index ? b : a), { index: -1, bar: '' }).bar;
  const named = f.places && f.places.length > 1 ? f.places : [f.bars];
  const all = named.map((p) => bars(p, last));
  return all.length > 3 ? `${all.slice(0, 2).join(', ')} …` : all.join(', ');
}

/** A block and what it must not be parted from: the block after it. */
export type Block = { element: HTMLElement; keep: boolean };

export function found(f: Finding, sheet: Sheet, letter?: string): HTMLElement {
  const side = el('span', 'bars', margin(f, sheet));
  if (letter) side.append(el('b', 'letter', letter));
  const says = el('span', 'says', f.says);
  if (f.do) says.append(' ', el('em', '', f.do));
  return el('div', 'finding', side, says);
}
