// The walk in two columns, on two pages at most; on the sheet of a lesson with lines
// to write on under it.
import { el } from './dom';
import { extent, opening, player } from './facts';
import type { Block } from './found';
import type { Job } from './job';
import { page, runningHead } from './pages';
import { margin, sheets } from './sizes';
import { blocks } from './walk';

const columnGap = 26; // CSS pixels (estimate)
const columns = 4; // two on each of two pages
/** Sizes of type, the usual first; the smaller ones to keep a walk on one page (estimates: 9, 8.5 and 8.2 points). */
/** Lines to write on in CSS pixels: how far apart (common practice: 8 mm of college paper and a little), and the least there are of them (estimate: a lesson's homework). */
const ruling = { step: 32, least: 6, head: 30 };
const types = ['', 'small', 'smallest'] as const;

/** Lays the walk out; one element for each sheet, in `into`. */
export function walkPages(job: Job, letters: ReadonlyMap<number, string>, into: HTMLElement): void {
  const sheet = sheets[job.paper];
  const width = (sheet.width - 2 * margin.side - columnGap) / 2;
  const title = heading(job), first = page(job, title);
  into.append(first);
  const room = sheet.height - margin.top - margin.bottom - margin.foot;
  const under = title.getBoundingClientRect().height + 12, running = 34;
  const strip = job.contents === 'lesson' ? ruling.head + ruling.least * ruling.step : 0;
  const heights = { one: [room - under - strip, room - under - strip], two: [room - under, room - under, room - running - strip, room - running - strip] };
  const { cut, type } = fit(job, letters, heights, width, into);
  cut.forEach((column, i) => {
    const second = i === 2 ? page(job, runningHead(job)) : null;
    if (second) into.append(second);
    const box = el('div', `column walk ${type}`, ...column.map((b) => b.element));
    box.style.cssText = `left:${margin.side + (i % 2) * (width + columnGap)}px;width:${width}px;top:${margin.top + (i < 2 ? under : running)}px`;
    into.lastElementChild!.append(box);
  });
  if (strip) into.lastElementChild!.append(lines(into.lastElementChild!, sheet.height - margin.bottom - margin.foot));
}

/** Lines to write on, from under what stands on a sheet to its foot. */
function lines(sheet: Element, foot: number): HTMLElement {
  const top = sheet.getBoundingClientRect().top;
  const used = Math.max(...[...sheet.querySelectorAll('.column, header')].map((c) => c.getBoundingClientRect().bottom - top));
  const count = Math.floor((foot - used - ruling.head) / ruling.step);
  const rule = () => Object.assign(el('div', 'line'), { style: `height:${ruling.step}px` });
  const box = el('section', 'lines walk', el('h2', '', 'Written in the lesson'), ...Array.from({ length: count }, rule));
  box.style.cssText = `left:${margin.side}px;right:${margin.side}px;top:${foot - count * ruling.step - ruling.head + 8}px`;
  return box;
}

/** What a column holds on one page, and on two. */
type Heights = { one: readonly number[]; two: readonly number[] };
type Fitted = { cut: Block[][]; type: string };

/** The blocks in columns: in small type on one page, else in the usual on two, the lightest findings left out. */
function fit(job: Job, letters: ReadonlyMap<number, string>, heights: Heights, width: number, into: HTMLElement): Fitted {
  const light = (job.sheet.read.findings ?? []).map((f, index) => ({ index, weight: f.weight })).sort((a, b) => a.weight - b.weight);
  const left = new Set<number>();
  for (const type of types) {
    const all = blocks(job, letters, left), tall = measured(all, width, type, into);
    const cut = columnsOf(all, tall, heights.one);
    if (cut.length <= columns / 2) return { cut: balanced(all, tall, heights.one, cut), type };
  }
  for (;;) {
    const all = blocks(job, letters, left), tall = measured(all, width, '', into);
    const cut = columnsOf(all, tall, heights.two);
    if (cut.length <= columns || left.size >= light.length) return { cut: balanced(all, tall, heights.two, cut).slice(0, columns), type: '' };
    left.add(light[left.size]!.index);
  }
}

function measured(all: readonly Block[], width: number, type: string, into: HTMLElement): number[] {
  const box = el('div', `column walk ${type}`, ...all.map((b) => b.element));
  box.style.width = `${width}px`;
  into.append(box);
  const tops = all.map((b) => b.element.getBoundingClientRect());
  const heights = tops.map((t, i) => (tops[i + 1]?.top ?? t.bottom) - t.top);
  box.remove();
  return heights;
}

/** Blocks in columns of these heights, the last height for all beyond. */
function columnsOf(all: readonly Block[], tall: readonly number[], heights: readonly number[]): Block[][] {
  const out: Block[][] = [[]];
  let free = heights[0]!;
  all.forEach((b, i) => {
    const needs = tall[i]! + (b.keep ? (tall[i + 1] ?? 0) : 0);
    if (needs > free && out.at(-1)!.length > 0) {
      out.push([]);
      free = heights[Math.min(out.length - 1, heights.length - 1)]!;
    }
    out.at(-1)!.push(b);
    free -= tall[i]!;
  });
  return out;
}

/** The columns of the last page made about equally long. */
function balanced(all: readonly Block[], tall: readonly number[], heights: readonly number[], cut: Block[][]): Block[][] {
  const pages = Math.ceil(cut.length / 2), before = 2 * (pages - 1);
  const start = cut.slice(0, before).reduce((n, c) => n + c.length, 0);
  const rest = all.slice(start), restTall = tall.slice(start);
  const most = heights[before]!;
  for (let h = restTall.reduce((a, b) => a + b, 0) / 2; h < most; h += 4) {
    const two = columnsOf(rest, restTall, [h, most]);
    if (two.length <= 2) return [...cut.slice(0, before), ...two];
  }
  return cut;
}

function heading({ sheet, contents, lesson }: Job): HTMLElement {
  const day = contents === 'lesson' && lesson ? lesson.day : '';
  return el('header', 'title', el('h1', '', sheet.part.title, el('span', 'kind', day ? 'the lesson' : 'the walk through the page')),
    el('p', 'who', el('span', 'part', player(sheet)), el('span', '', day)), el('p', 'opening', `${opening(sheet)} · ${extent(sheet)}`));
}
