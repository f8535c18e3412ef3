// The marked part on sheets of paper.
import { make } from '../lib/score/draw';
import { el } from './dom';
import { unitOf, type Measure } from './engraver';
import { opening, partName, player } from './facts';
import type { Job } from './job';
import { over, type Ring } from './over';
import { margin, sheets, space } from './sizes';
import { spread } from './spread';
import { staves } from './staves';

/** Room between systems in CSS pixels (estimates): the least, the most, and what a title leaves under it. */
const gaps = { least: 13, most: 64, title: 14, running: 12 };

/** A title of more letters than this is set smaller (estimate: what a line holds). */
const longTitle = 42;

/** Lays the part out; one element for each sheet, in `into`. */
export async function partPages(job: Job, rings: readonly Ring[], into: HTMLElement): Promise<void> {
  const sheet = sheets[job.paper];
  const m: Measure = { width: sheet.width - 2 * margin.side, space }, u = unitOf(m);
  const host = el('div', 'music drawing');
  host.style.width = `${m.width}px`;
  into.append(host);
  const g = await staves(job.score, m, host);
  const extents = over(job.sheet, g, rings, job.lanes, u, m.width);

  const title = heading(job), first = page(job, title);
  into.append(first);
  const room = sheet.height - margin.top - margin.bottom - margin.foot;
  const under = title.getBoundingClientRect().height + gaps.title, running = 20 + gaps.running;
  const placed = spread(extents, (room - under) * u, (room - running) * u, { least: gaps.least * u, most: gaps.most * u });
  const count = placed.at(-1)!.page + 1;
  const drawings = Array.from({ length: count }, (_, i) => {
    const height = room - (i === 0 ? under : running);
    const drawing = make('svg', { class: 'music', width: m.width.toFixed(2), height: height.toFixed(2), viewBox: `0 0 ${(m.width * u).toFixed(0)} ${(height * u).toFixed(0)}` });
    const target = i === 0 ? first : page(job, runningHead(job));
    if (i > 0) into.append(target);
    drawing.style.top = `${(margin.top + (i === 0 ? under : running)).toFixed(2)}px`;
    target.append(drawing);
    return drawing;
  });
  drawings[0]!.append(...host.querySelectorAll('svg > defs, svg style[type]'));
  g.systems.forEach((s, i) => {
    s.group.setAttribute('transform', `translate(0 ${placed[i]!.shift.toFixed(0)})`);
    drawings[placed[i]!.page]!.append(s.group);
  });
  host.remove();
}

/** An empty sheet with its head; the foot is written when all sheets are there. */
export function page(job: Job, head: HTMLElement): HTMLElement {
  const sheet = sheets[job.paper];
  const e = el('section', 'sheet', head, el('footer'));
  e.style.cssText = `width:${sheet.width}px;height:${sheet.height}px`;
  head.style.cssText = `left:${margin.side}px;right:${margin.side}px;top:${margin.top}px`;
  (e.lastChild as HTMLElement).style.cssText = `left:${margin.side}px;right:${margin.side}px;bottom:${margin.bottom}px`;
  return e;
}

function heading(job: Job): HTMLElement {
  const part = partName(job.sheet, job.part);
  return el('header', 'title',
    el('h1', job.sheet.part.title.length > longTitle ? 'long' : '', job.sheet.part.title),
    el('p', 'who', el('span', 'part', part ? `${part} · ` : '', player(job.sheet)), el('span', 'composer', job.composer)),
    el('p', 'opening', opening(job.sheet)));
}

export const runningHead = (job: Job): HTMLElement => el('header', 'running', el('span', '', job.sheet.part.title), el('span', '', partName(job.sheet, job.part) || player(job.sheet)));

/** Numbers the sheets. */
export function feet(job: Job, sheetsOfPaper: readonly Element[]): void {
  sheetsOfPaper.forEach((s, i) => {
    const last = sheetsOfPaper.length;
    s.querySelector('footer')!.replaceChildren(el('span', '', job.sheet.part.title), el('span', '', last > 1 ? `${i + 1} of ${last}` : ''));
  });
}
