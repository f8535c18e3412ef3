// A part cast off and engraved, and where everything stands in it.
import { read, type Geometry } from '../lib/score/geometry';
import { castOff } from './cast';
import { broken, joins, prepared } from '../lib/score/document';
import { engrave, type Measure } from './engraver';

/** Engraves a part into `host`, which stands in the page; its bars counted as those of the part. */
export async function staves(score: string, m: Measure, host: HTMLElement): Promise<Geometry> {
  const doc = prepared(score, true); // the words are set over the staves
  doc.querySelector('part-name')?.setAttribute('print-object', 'no');
  const all = doc.querySelectorAll('measure').length;
  host.innerHTML = await engrave(broken(doc, []), m, 'endless');
  host.innerHTML = await engrave(broken(doc, systemStarts(host, m, joins(doc))), m, 'broken');
  host.querySelector('.definition-scale')?.removeAttribute('font-family'); // measured as it will be drawn, in the type of the page
  host.getBoundingClientRect(); // asks for the engraver's own type, where a metronome mark needs it
  await document.fonts.ready;
  const g = read(host);
  if (!g || g.systems.length === 0) throw new Error('The engraver drew nothing; the file may have no notes.');
  while (g.bars.length < all) g.bars.push(g.bars.at(-1)!); // the part ends in a rest of several bars
  return g;
}

/** Which bars of an endless line start a system. */
function systemStarts(host: Element, m: Measure, joined: readonly number[]): number[] {
  const g = read(host);
  if (!g || g.bars.length === 0) return [];
  const at = g.drawn;
  const widths = at.map((i, k) => g.bars[(at[k + 1] ?? g.bars.length) - 1]!.right - g.bars[i]!.left);
  const right = (selector: string) => Math.max(g.bars[0]!.left, ...[...host.querySelectorAll<SVGGElement>(selector)].slice(0, 1).map((e) => e.getBBox()).map((b) => b.x + b.width));
  const head = right('g.keySig') > g.bars[0]!.left ? right('g.keySig') : right('g.clef');
  const sign = head - g.bars[0]!.left + g.space; // clef and key, which every system repeats
  widths[0] = widths[0]! - sign;
  const room = (m.width * g.space) / m.space - sign;
  return castOff(widths, room, at.map((i) => joined[i] ?? 0)).map((k) => at[k]!);
}
