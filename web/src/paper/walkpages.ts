// The lesson sheet: the walk in two columns, on two pages at most.
import type { Sheet } from '../lib/api';
import { el } from './dom';
import { extent, opening, player } from './facts';
import type { Job } from './job';
import { page, runningHead } from './pages';
import { margin, sheets } from './sizes';
import { blocks, type Block } from './walk';

const columnGap = 26; // CSS pixels (estimate)
const columns = 4; // two on each of two pages
/** Sizes of type, the usual first; the smaller ones to keep a walk on one page (estimates: 9, 8.5 and 8.2 points). */
const types = ['', 'small', 'smallest'] as const;

/** Lays the walk out; one element for each sheet, in `into`. */
export function walkPages(job: Job, letters: ReadonlyMap<number, string>, into: HTMLElement): void {
  const sheet = sheets[job.paper];
  const width = (sheet.width - 2 * margin.side - columnGap) / 2;
  const title = heading(job.sheet), first = page(job, title);
  into.append(first);
  const room = sheet.height - margin.top - margin.bottom - margin.foot;
  const under = title.getBoundingClientRect().height + 12, running = 34;
  const heights = [room - under, room - under, room - running, room - running];
  const { cut, type } = fit(job.sheet, letters, heights, width, into);
  cut.forEach((column, i) => {
    const second = i === 2 ? page(job, runningHead(job)) : null;
    if (second) into.append(second);
    const box = el('div', `column walk ${type}`, ...column.map((b) => b.element));
    box.style.cssText = `left:${margin.side + (i % 2) * (width + columnGap)}px;width:${width}px;top:${margin.top + (i < 2 ? under : running)}px`;
    into.lastElementChild!.append(box);
  });
}

type Fitted = { cut: Block[][]; type: string };

/** The blocks in columns: in small type on one page, else in the usual on two, the lightest findings left out. */
function fit(sheet: Sheet, letters: ReadonlyMap<number, string>, heights: readonly number[], width: number, into: HTMLElement): Fitted {
  const light = (sheet.read.findings ?? []).map((f, index) => ({ index, weight: f.weight })).sort((a, b) => a.weight - b.weight);
  const left = new Set<number>();
  for (const type of types) {
    const all = blocks(sheet, letters, left), tall = measured(all, width, type, into);
    const cut = columnsOf(all, tall, heights);
    if (cut.length <= columns / 2) return { cut: balanced(all, tall, heights, cut), type };
  }
  for (;;) {
    const all = blocks(sheet, letters, left), tall = measured(all, width, '', into);
    const cut = columnsOf(all, tall, heights);
    if (cut.length <= columns || left.size >= light.length) return { cut: balanced(all, tall, heights, cut).slice(0, columns), type: '' };
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

function heading(sheet: Sheet): HTMLElement {
  return el('header', 'title', el('h1', '', sheet.part.title, el('span', 'kind', 'the walk through the page')),
    el('p', 'who', el('span', 'part', player(sheet))), el('p', 'opening', `${opening(sheet)} · ${extent(sheet)}`));
}
