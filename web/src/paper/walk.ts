// The walk, the remarks and the cautions, as blocks of a page.
import type { Finding, Sheet } from '../lib/api';
import { written } from '../lib/marks';
import { bars } from '../lib/words';
import { el } from './dom';

export const stages = ['notes', 'rhythm', 'articulation', 'dynamics', 'choices'] as const;

/** The printed bars of a finding for the margin: "9–11", "2, 6 …", "all". */
export function margin(f: Finding, sheet: Sheet): string {
  const last = (sheet.timeline.bars ?? []).reduce((a, b) => (b.index > a.index ? b : a), { index: -1, bar: '' }).bar;
  const named = f.places && f.places.length > 1 ? f.places : [f.bars];
  const all = named.map((p) => bars(p, last));
  return all.length > 3 ? `${all.slice(0, 2).join(', ')} …` : all.join(', ');
}

/** A block and what it must not be parted from: the block after it. */
export type Block = { element: HTMLElement; keep: boolean };

function found(f: Finding, sheet: Sheet, letter?: string): HTMLElement {
  const side = el('span', 'bars', margin(f, sheet));
  if (letter) side.append(el('b', 'letter', letter));
  const says = el('span', 'says', f.says);
  if (f.do) says.append(' ', el('em', '', f.do));
  return el('div', 'finding', side, says);
}

/** All blocks of the walk, the findings in `left` passed over. */
export function blocks(sheet: Sheet, letters: ReadonlyMap<number, string>, left: ReadonlySet<number>): Block[] {
  const out: Block[] = [];
  const all = (sheet.read.findings ?? []).map((f, index) => ({ f, index })).filter(({ index }) => !left.has(index));
  const remarks = written(sheet).remarks;
  if (remarks.length) out.push({ element: el('h2', '', 'Remarks'), keep: true });
  for (const m of remarks) out.push({ element: el('div', 'finding remark', el('span', 'bars', m.remark!.where ?? ''), el('span', 'says', m.remark!.text)), keep: false });
  stages.forEach((stage, i) => {
    const here = all.filter(({ f }) => f.stage === stage);
    if (here.length === 0) return;
    out.push({ element: el('h2', '', el('span', '', String(i + 1)), ` ${stage[0]!.toUpperCase()}${stage.slice(1)}`), keep: true });
    for (const { f, index } of here) out.push({ element: found(f, sheet, letters.get(index)), keep: false });
  });
  if (left.size) out.push({ element: el('p', 'note', `${left.size} lighter ${left.size === 1 ? 'point is' : 'points are'} left out here for want of room.`), keep: false });
  for (const said of sheet.read.passed_over ?? []) out.push({ element: el('p', 'note', `Not read: ${said}`), keep: false });
  for (const said of sheet.read.cautions ?? []) out.push({ element: el('p', 'caution', said), keep: false });
  return out;
}
