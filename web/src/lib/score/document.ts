// The score on its way to the engraver: bars get ids, rests of several bars are
// drawn together, systems break where casting off says.

/** Children of a bar that let it vanish in a rest of several bars. */
const plain = new Set(['note', 'barline', 'attributes', 'direction', 'print']);

export const barId = (index: number): string => `bar-${index}`;

/** A bar of the score with nothing but silence in it. */
function silent(bar: Element): boolean {
  const notes = bar.querySelectorAll(':scope > note');
  return notes.length === 1 && !!notes[0]!.querySelector(':scope > rest') && !notes[0]!.querySelector('notations, lyric, grace') &&
    bar.getAttribute('implicit') !== 'yes' && [...bar.children].every((c) => plain.has(c.tagName));
}

/** What stands at the start of a bar keeps it from going on with a rest. */
const opens = (bar: Element): boolean =>
  !!bar.querySelector(':scope > attributes, :scope > direction, :scope > barline[location="left"]');

/** What stands at the end of a bar ends a rest. */
const closes = (bar: Element): boolean => !!bar.querySelector(':scope > barline:not([location="left"])');

/** Has words that the engraver would lose in a rest of several bars. */
const speaks = (bar: Element): boolean => !!bar.querySelector(':scope > direction words, :scope > direction metronome');

/**
 * Numbers the bars and joins rests; the document, with the score kept otherwise.
 * Bars with words stay as they are, unless the words are set by someone else.
 */
export function prepared(score: string, wordsElsewhere = false): Document {
  const doc = new DOMParser().parseFromString(score, 'application/xml');
  const bars = [...doc.querySelectorAll('measure')];
  bars.forEach((b, i) => b.setAttribute('id', barId(i)));
  doc.querySelectorAll('measure-style').forEach((s) => {
    const attributes = s.parentElement!;
    s.remove();
    if (attributes.children.length === 0) attributes.remove();
  });
  dropRepeatedClefs(doc);
  for (let i = 0; i < bars.length; ) {
    let end = i + 1;
    const joins = (bar: Element): boolean => silent(bar) && (wordsElsewhere || !speaks(bar));
    if (joins(bars[i]!)) while (end < bars.length && joins(bars[end]!) && !opens(bars[end]!) && !closes(bars[end - 1]!)) end++;
    if (end - i > 1) join(doc, bars[i]!, end - i);
    i = end;
  }
  return doc;
}

/** Drops clefs that are in force already: the engraver draws them into the rest before. */
function dropRepeatedClefs(doc: Document): void {
  let before = '';
  for (const clef of [...doc.querySelectorAll('clef')]) {
    const text = clef.textContent!.replace(/\s/g, '');
    if (text === before) {
      const attributes = clef.parentElement!;
      clef.remove();
      if (attributes.children.length === 0) attributes.remove();
    }
    before = text;
  }
}

function join(doc: Document, bar: Element, bars: number): void {
  const attributes = doc.createElement('attributes'), style = doc.createElement('measure-style'), rest = doc.createElement('multiple-rest');
  rest.textContent = String(bars);
  style.append(rest);
  attributes.append(style);
  const own = bar.querySelector(':scope > attributes');
  if (own) own.after(attributes); // beside them: with a clef in one the engraver draws that into the rest
  else bar.prepend(attributes);
}

/** The document with a new system at each of these bars (indexes). */
export function broken(doc: Document, starts: readonly number[]): string {
  doc.querySelectorAll('print').forEach((p) => p.remove());
  for (const i of starts) {
    if (i === 0) continue;
    const print = doc.createElement('print');
    print.setAttribute('new-system', 'yes');
    doc.querySelector(`measure[id="${barId(i)}"]`)!.prepend(print);
  }
  return new XMLSerializer().serializeToString(doc);
}

/** How bad it is to start a system within a glissando, which the engraver would not draw, a slur or a tie (estimates). */
const parted = { glissando: 2, slur: 0.02, tie: 0.01 };

/** For each bar how bad it is to part it from the one before. */
export function joins(doc: Document): number[] {
  const open = { glissando: 0, slur: 0, tie: 0 };
  const count = (bar: Element, selector: string) =>
    bar.querySelectorAll(`${selector}[type="start"]`).length - bar.querySelectorAll(`${selector}[type="stop"]`).length;
  return [...doc.querySelectorAll('measure')].map((bar) => {
    const cost = (open.glissando > 0 ? parted.glissando : 0) + (open.slur > 0 ? parted.slur : 0) + (open.tie > 0 ? parted.tie : 0);
    open.glissando += count(bar, 'glissando') + count(bar, 'slide');
    open.slur += count(bar, 'slur');
    open.tie += count(bar, 'tied');
    return cost;
  });
}
