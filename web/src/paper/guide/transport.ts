// The controls of the sound, as they stand in a guide.
import type { Sheet } from '../../lib/api';
import { beat } from '../../lib/words';
import { el } from '../dom';

/** The slowest and the fastest share of the tempo that can be asked for (estimates: below, nobody keeps the line). */
const slowest = 0.4, fastest = 1.2;

function field(name: string, label: string, value: string): HTMLElement {
  const input = el('input');
  input.name = name;
  input.autocomplete = 'off';
  input.setAttribute('inputmode', 'numeric');
  input.setAttribute('aria-label', label);
  input.setAttribute('value', value);
  return input;
}

function check(name: string, label: string, on: boolean): HTMLElement {
  const input = el('input');
  input.type = 'checkbox';
  input.name = name;
  input.toggleAttribute('checked', on);
  return el('label', 'check', input, ' ', label);
}

function tempo(sheet: Sheet): HTMLElement {
  const own = Math.round(sheet.timeline.tempo_bpm), input = el('input');
  input.type = 'range';
  input.name = 'tempo';
  input.min = String(Math.round(own * slowest));
  input.max = String(Math.round(own * fastest));
  input.setAttribute('value', String(own));
  input.dataset.own = String(sheet.timeline.tempo_bpm);
  const shown = el('output', '', String(own));
  return el('label', 'tempo', `${beat(sheet.timeline.unit)} = `, shown, ' ', input);
}

/** The bar at the foot of a guide. */
export function transport(sheet: Sheet): HTMLElement {
  const play = el('button', 'play', 'Play');
  play.type = 'button';
  play.setAttribute('aria-keyshortcuts', 'Space');
  const first = sheet.timeline.bars?.[0]?.bar ?? '1';
  const status = el('p', 'status');
  status.setAttribute('role', 'status');
  const sound = el('audio');
  sound.preload = 'auto';
  const form = el('form', '', play, el('span', 'range', 'bars ', field('from', 'from bar', first), ' to ', field('to', 'to bar', '')), tempo(sheet), check('loop', 'again and again', false), check('count', 'count-in', true), check('click', 'click', false), status, sound);
  const section = el('section', 'transport', form);
  section.setAttribute('aria-label', 'Sound');
  return section;
}
