// The walk, the remarks and the cautions, as blocks of a page.
import type { Mark, Sheet } from '../lib/api';
import { numbering } from '../lib/bars';
import { written } from '../lib/marks';
import { length } from '../lib/words';
import { el } from './dom';
import { found, type Block } from './found';
import type { Job } from './job';
import { advice, next } from './lesson';

export const stages = ['notes', 'rhythm', 'articulation', 'dynamics', 'choices'] as const;

/** The remarks of a sheet in the order of their bars, those without one last. */
export function remarksOf(sheet: Sheet): Mark[] {
  const numbers = numbering(sheet.timeline);
  const at = (m: Mark) => numbers.get((m.remark!.where ?? '').split(/[.-]/)[0]!)?.[0] ?? Infinity;
  return written(sheet).remarks.sort((a, b) => (at(a) === at(b) ? 0 : at(a) - at(b)));
}

/** Where in which take a remark was made: "24 November, 17:42, at 1:05"; "" for one on the page alone. */
export function moment(m: Mark, job: Job): string {
  const take = m.remark!.take && job.lesson?.takes[m.remark!.take];
  return take ? `${take}, at ${length(m.remark!.at_s ?? 0)}` : '';
}

function remark(m: Mark, job: Job): HTMLElement {
  const says = el('span', 'says', m.remark!.text), when = moment(m, job);
  if (when) says.append(' ', el('span', 'when', when));
  return el('div', 'finding remark', el('span', 'bars', m.remark!.where ?? ''), says);
}

/** All blocks of the walk, the findings in `left` passed over; in a lesson those of the take and of the practice too. */
export function blocks(job: Job, letters: ReadonlyMap<number, string>, left: ReadonlySet<number>): Block[] {
  const { sheet } = job, lesson = job.contents === 'lesson' ? job.lesson : null;
  const out: Block[] = lesson?.advice ? advice(lesson.advice, sheet) : [];
  const all = (sheet.read.findings ?? []).map((f, index) => ({ f, index })).filter(({ index }) => !left.has(index));
  const remarks = remarksOf(sheet);
  if (remarks.length) out.push({ element: el('h2', '', 'Remarks'), keep: true });
  for (const m of remarks) out.push({ element: remark(m, job), keep: false });
  if (lesson?.next) out.push(...next(lesson.next));
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
