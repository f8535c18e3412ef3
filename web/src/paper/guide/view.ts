// The page of a guide: the cursor, the bars chosen, and which bar was touched.
import { make } from '../../lib/score/draw';
import { place } from '../../lib/score/moments';
import type { Data, Layout } from './data';

type Shown = { layout: Layout; svg: SVGSVGElement; cursor: SVGLineElement; chosen: SVGGElement; unit: number };

export class View {
  private readonly shown: Shown[];
  private sounding: Element[] = [];
  private system = -1;

  constructor(private readonly data: Data, touched: (bar: number) => void) {
    this.shown = data.layouts.map((layout) => {
      const svg = document.querySelector<SVGSVGElement>(`svg.${layout.name}`)!;
      const unit = (layout.systems[0]!.foot - layout.systems[0]!.staff) / 28; // a CSS pixel, about
      const chosen = make('g'), cursor = make('line', { class: 'cursor', visibility: 'hidden', 'stroke-width': 1.8 * unit });
      svg.prepend(chosen);
      svg.append(cursor);
      const one: Shown = { layout, svg, cursor, chosen, unit };
      svg.addEventListener('click', (e) => {
        const bar = barAt(one, e);
        if (bar >= 0) touched(bar);
      });
      return one;
    });
  }

  private get seen(): Shown {
    return this.shown.find((s) => s.svg.clientWidth > 0 || s.svg.getBoundingClientRect().width > 0) ?? this.shown[0]!;
  }

  /** Puts the cursor where the music is, null for nowhere. */
  show(time: number | null): void {
    for (const e of this.sounding.splice(0)) e.classList.remove('sounding');
    for (const s of this.shown) {
      const at = time === null ? null : place(s.layout.moments, time);
      s.cursor.setAttribute('visibility', at ? 'visible' : 'hidden');
      if (!at) continue;
      const system = s.layout.systems[at.system]!;
      s.cursor.setAttribute('x1', String(at.x));
      s.cursor.setAttribute('x2', String(at.x));
      s.cursor.setAttribute('y1', String(system.staff - 10 * s.unit));
      s.cursor.setAttribute('y2', String(system.foot + 10 * s.unit));
      if (s === this.seen && at.system !== this.system) this.reveal((this.system = at.system));
    }
    if (time === null) return;
    const note = (this.data.timeline.notes ?? []).findLast((n) => n.start_s <= time + 1e-3 && n.end_s > time);
    if (note) this.sounding = this.shown.map((s) => document.getElementById(`${s.layout.name}-${note.id}`)).filter((e) => e !== null);
    for (const e of this.sounding) e.classList.add('sounding');
  }

  /** Shades bars (indexes), and brings them to sight. */
  choose(from: number, to: number): void {
    for (const s of this.shown) {
      s.chosen.replaceChildren();
      s.layout.systems.forEach((system, i) => {
        const bars = s.layout.bars.slice(from, to + 1).filter((b) => b.system === i);
        if (bars.length === 0) return;
        const left = Math.min(...bars.map((b) => b.left)), right = Math.max(...bars.map((b) => b.right));
        s.chosen.append(make('rect', { class: 'chosen', x: left, y: system.top, width: right - left, height: system.bottom - system.top }));
      });
    }
    const first = this.seen.layout.bars[from];
    if (first) this.reveal(first.system);
  }

  /** Scrolls a system into the upper part of the window, if it is not to be seen. */
  private reveal(system: number): void {
    const { svg, layout } = this.seen, box = svg.getBoundingClientRect(), s = layout.systems[system]!;
    const scale = box.width / svg.viewBox.baseVal.width;
    const top = box.top + s.top * scale, bottom = box.top + s.bottom * scale, foot = document.querySelector('.transport')!.getBoundingClientRect().top;
    if (top >= 0 && bottom <= foot) return;
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    scrollBy({ top: top - Math.max((foot - (bottom - top)) / 4, 8), behavior: still ? 'auto' : 'smooth' });
  }
}

function barAt(s: Shown, e: MouseEvent): number {
  const matrix = s.svg.getScreenCTM();
  if (!matrix) return -1;
  const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(matrix.inverse());
  const { bars, systems } = s.layout;
  return bars.findIndex((b) => p.x >= b.left && p.x < b.right && p.y >= systems[b.system]!.top - 10 * s.unit && p.y <= systems[b.system]!.bottom + 10 * s.unit);
}
