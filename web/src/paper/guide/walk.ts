// The walk in a guide: its bars can be chosen, to be seen and heard.
import type { Finding, Sheet } from '../../lib/api';
import { numbering, places } from '../../lib/bars';
import { el } from '../dom';
import { margin } from '../found';
import type { Job } from '../job';
import { moment, remarksOf, stages } from '../walk';

function side(text: string, at: { from: number; to: number } | undefined, letter?: string): HTMLElement {
  if (!text || !at) return el('span', 'bars', text);
  const button = el('button', 'bars', el('span', 'hidden', 'Show '), text);
  button.type = 'button';
  button.dataset.from = String(at.from);
  button.dataset.to = String(at.to);
  if (letter) button.append(' ', el('b', 'letter', letter));
  return button;
}

function found(f: Finding, sheet: Sheet, letter?: string): HTMLElement {
  const says = el('span', 'says', f.says);
  if (f.do) says.append(' ', el('em', '', f.do));
  return el('li', 'finding', side(margin(f, sheet), places(f, numbering(sheet.timeline))[0], letter), says);
}

/** Remarks, findings by stage, cautions. */
export function walk(job: Job, letters: ReadonlyMap<number, string>): HTMLElement {
  const { sheet } = job;
  const out = el('section', 'walk');
  out.setAttribute('aria-label', 'The walk through the page');
  const all = (sheet.read.findings ?? []).map((f, index) => ({ f, index }));
  const remarks = remarksOf(sheet), numbers = numbering(sheet.timeline);
  if (remarks.length) {
    out.append(el('h2', '', 'Remarks'), el('ul', '', ...remarks.map((m) => {
      const [from, to = from] = (m.remark!.where ?? '').split('.')[0]!.split('-');
      const a = numbers.get(from!)?.[0], b = numbers.get(to!)?.at(-1);
      const says = el('span', 'says', m.remark!.text), when = moment(m, job);
      if (when) says.append(' ', el('small', '', when));
      return el('li', 'finding remark', side(m.remark!.where ?? '', a !== undefined && b !== undefined ? { from: a, to: b } : undefined), says);
    })));
  }
  stages.forEach((stage, i) => {
    const here = all.filter(({ f }) => f.stage === stage);
    if (here.length === 0) return;
    out.append(el('h2', '', `${i + 1} ${stage[0]!.toUpperCase()}${stage.slice(1)}`), el('ul', '', ...here.map(({ f, index }) => found(f, sheet, letters.get(index)))));
  });
  for (const said of sheet.read.passed_over ?? []) out.append(el('p', 'note', `Not read: ${said}`));
  for (const said of sheet.read.cautions ?? []) out.append(el('p', 'note', said));
  return out;
}
