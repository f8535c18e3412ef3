// The part engraved once for a screen and once for a phone, as drawings that need
// nothing else.
import { make } from '../../lib/score/draw';
import { moments } from '../../lib/score/moments';
import { el } from '../dom';
import { unitOf, type Measure } from '../engraver';
import type { Job } from '../job';
import { over, type Ring } from '../over';
import { staves } from '../staves';
import type { Layout } from './data';

/** Widths in CSS pixels: a column of text on a screen, a phone of 360 held upright with its margins; staves that can be read there (estimates). */
const measures: Record<Layout['name'], Measure> = { wide: { width: 800, space: 7.4 }, narrow: { width: 336, space: 6.6 } };
/** Between systems, in CSS pixels (estimate). */
const gap = 20;

export type Drawn = { layout: Layout; svg: string; fonts: string[] };

/** Draws one layout in `into` and takes it out again. */
export async function draw(job: Job, rings: readonly Ring[], name: Layout['name'], into: HTMLElement): Promise<Drawn> {
  const m = measures[name], u = unitOf(m);
  const host = el('div', 'music drawing');
  host.style.width = `${m.width}px`;
  into.append(host);
  const g = await staves(job.score, m, host);
  const extents = over(job.sheet, g, rings, false, u, m.width);
  let y = 2 * u;
  const shifts = extents.map((e) => {
    const shift = Math.round(y - e.top);
    y += e.bottom - e.top + gap * u;
    return shift;
  });
  const edge = 2 * u; // a ring and the number of a bar reach past the staff
  const svg = make('svg', { class: `music ${name}`, viewBox: `${-edge} 0 ${m.width * u + 2 * edge} ${(y - (gap - 2) * u).toFixed(0)}`, role: 'img', 'aria-label': `${job.sheet.part.title}, the marked part` });
  svg.append(...host.querySelectorAll('svg > defs'));
  g.systems.forEach((s, i) => {
    s.group.setAttribute('transform', `translate(0 ${shifts[i]})`);
    svg.append(s.group);
  });
  const fonts = [...host.querySelectorAll('svg style')].map((s) => s.textContent!).filter((t) => t.includes('@font-face'));
  host.remove();
  const used = new Set(g.heads.keys());
  slim(svg, name, used);
  const layout: Layout = {
    name,
    systems: g.systems.map((s, i) => ({ top: extents[i]!.top + shifts[i]!, bottom: extents[i]!.bottom + shifts[i]!, staff: s.staffTop + shifts[i]!, foot: s.staffBottom + shifts[i]! })),
    bars: g.bars.map((b) => ({ system: b.system, left: Math.round(b.left), right: Math.round(b.right) })),
    moments: moments(job.sheet.timeline, g).map((p) => ({ ...p, x: Math.round(p.x) })),
  };
  return { layout, svg: new XMLSerializer().serializeToString(svg).replace(/>\s+</g, '><'), fonts };
}

/** Keeps the ids that are referred to, under a name of this layout, and drops the rest. */
function slim(svg: SVGSVGElement, name: string, notes: ReadonlySet<string>): void {
  const referred = new Set<string>();
  for (const use of svg.querySelectorAll('use')) {
    const to = (use.getAttribute('href') ?? use.getAttribute('xlink:href') ?? '').slice(1);
    referred.add(to);
    use.removeAttribute('xlink:href');
    use.setAttribute('href', `#${name}-${to}`);
  }
  for (const e of svg.querySelectorAll('[id]')) {
    if (referred.has(e.id) || notes.has(e.id)) e.id = `${name}-${e.id}`;
    else e.removeAttribute('id');
  }
  svg.querySelectorAll('desc, title, metadata').forEach((e) => e.remove());
}
