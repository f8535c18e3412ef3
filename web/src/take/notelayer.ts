// What can be touched over a take: each note with its lanes, and the bar behind.
import type { Measures } from '../lib/heard';
import { measured } from '../lib/heard';
import { make, put } from '../lib/score/draw';
import type { Geometry } from '../lib/score/geometry';
import { spokenPitch } from '../lib/words';
import type { Placed } from './lanes/tones';
import { number, timed, tuned } from './numbers';
import type { Played } from './takepage';
import type { Shown } from './view.svelte';

export type NoteTouch = {
  tap: (id: string) => void;
  focus: (id: string) => void;
  over: (id: string) => void;
  out: () => void;
  bar: (index: number, event: MouseEvent) => void;
};

export function noteLayer(all: readonly Placed[], p: Played, shown: Shown, g: Geometry, shifts: readonly number[], u: number, below: readonly number[], on: NoteTouch): SVGGElement {
  const layer = make('g', { class: 'touch take', role: 'group', 'aria-label': 'Notes as played; arrow keys move, Enter opens the numbers of one' });
  const height = (s: number) => {
    const sys = g.systems[s]!;
    return { y: sys.staffTop - 24 * u + shifts[s]!, height: sys.bottom - sys.staffTop + (24 + (below[s] ?? 0)) * u };
  };
  g.bars.forEach((b, i) => {
    const r = put(layer, 'rect', { class: 'bar', x: b.left, width: b.right - b.left, ...height(b.system), 'data-bar': i });
    r.addEventListener('click', (e) => on.bar(i, e));
  });
  const byId = new Map<string, Placed[]>();
  for (const t of all) byId.set(t.id, [...(byId.get(t.id) ?? []), t]);
  let first = true;
  for (const [id, list] of byId) {
    const head = list[0]!.head, pad = Math.min(5 * u, head.right - head.left);
    const b = put(layer, 'rect', {
      class: 'note-button', x: head.left - pad, width: head.right - head.left + 2 * pad, ...height(head.system), rx: 3 * u,
      role: 'button', tabindex: first ? 0 : -1, 'aria-label': spoken(list, shown), 'data-note': id,
    });
    first = false;
    b.addEventListener('click', () => on.tap(id));
    b.addEventListener('focus', () => on.focus(id));
    b.addEventListener('pointerenter', (e) => e.pointerType === 'mouse' && on.over(id));
    b.addEventListener('pointerleave', (e) => e.pointerType === 'mouse' && on.out());
  }
  return layer;
}

/** A note in words, each time round. */
export function spoken(list: readonly Placed[], shown: Shown): string {
  const n = list[0]!.note;
  const times = list.map((t) => (list.length > 1 ? `${t.pass === 1 ? 'first' : t.pass === 2 ? 'second' : `${t.pass}th`} time ` : '') + brief(t, shown));
  return `Bar ${n.bar}, ${spokenPitch(n.pitch)}: ${times.join('; ')}`;
}

function brief({ note }: Placed, shown: Shown): string {
  if (note.state === 'missed' || !measured(note)) return 'does not sound';
  const m: Measures = note;
  const heard = note.state === 'other' ? `sounds as ${spokenPitch(note.heard ?? '')}, ` : '';
  const off = shown.steady ? m.late_steady_ms : m.late_ms;
  return `${heard}${note.state === 'other' ? '' : `${tuned(shown.own ? m.cents_own : m.cents, m.uncertainty.cents)}, `}${timed(off, m.uncertainty.late_ms)}, held ${number(m.length_ratio, 2)}${m.split ? ', split' : ''}`;
}

