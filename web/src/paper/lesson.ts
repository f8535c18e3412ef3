// What the sheet of a lesson says of the newest take, and of the next day of practice.
import type { Sheet } from '../lib/api';
import { el } from './dom';
import { found, type Block } from './found';
import type { Lesson } from './job';

/** What to say first about a take. */
export function advice(said: NonNullable<Lesson['advice']>, sheet: Sheet): Block[] {
  const out: Block[] = [{ element: el('h2', '', `First, after ${said.take}`), keep: true }];
  for (const f of said.says) out.push({ element: found(f, sheet), keep: false });
  if (said.says.length === 0) out.push({ element: el('p', 'note', 'Nothing to remark.'), keep: false });
  return out;
}

/** The next day of practice, with a box to tick for each item. */
export function next(day: NonNullable<Lesson['next']>): Block[] {
  const out: Block[] = [{ element: el('h2', '', `To practice ${day.day}, ${day.minutes} min`), keep: true }];
  out.push({ element: el('p', 'note', day.focus), keep: true });
  for (const it of day.items) {
    const head = it.turns ? `${it.label}: ${it.turns}. ` : it.label && `${it.label}. `;
    out.push({ element: el('div', 'finding', el('span', 'bars', el('span', 'box'), `${it.minutes} min`), el('span', 'says', el('b', '', head), it.what)), keep: false });
  }
  return out;
}
