// The keys of the page. Inside a field they belong to the field.
import type { Sheet } from '../lib/api';
import type { Written } from '../lib/marks';
import type { Spot } from '../lib/score/page';
import type { Desk } from '../lib/sheet.svelte';

export type Acts = {
  sheet: () => Sheet | null; marks: () => Written | null; desk: Desk; note: () => string;
  focus: (id: string) => void; spot: (id: string) => Spot | null; open: (id: string) => void; close: () => void;
  play: () => void; loop: () => void; step: (by: number) => void; remark: () => void; keys: () => void;
};

export function keyboard(a: Acts): (e: KeyboardEvent) => void {
  return (e) => {
    if (e.defaultPrevented || inField(e.target, e.key) || e.altKey) return;
    const act = e.ctrlKey || e.metaKey ? withControl(a, e) : plain(a, e);
    if (!act) return;
    e.preventDefault();
    act();
  };
}

/** Keeps Space from moving the page as well: some browsers scroll on the letter, not on the key. */
export function keepStill(e: KeyboardEvent): void {
  if (e.key === ' ' && !inField(e.target, e.key)) e.preventDefault();
}

function inField(target: EventTarget | null, key: string): boolean {
  const e = target as Element | null;
  if (!e?.closest) return false;
  if (e.closest('dialog, textarea, select, input:not([type="checkbox"], [type="range"])')) return true;
  if (e.closest('input')) return key === ' ' || key.startsWith('Arrow') || key === 'Home' || key === 'End';
  const button = e.closest('button, [role="button"], a');
  return !!button && (key === 'Enter' || key === ' ') && !button.classList.contains('note-button');
}

function withControl(a: Acts, e: KeyboardEvent): (() => void) | null {
  if (e.key.toLowerCase() !== 'z') return e.key.toLowerCase() === 'y' ? () => void a.desk.redo() : null;
  return e.shiftKey ? () => void a.desk.redo() : () => void a.desk.undo();
}

function plain(a: Acts, e: KeyboardEvent): (() => void) | null {
  const onNote = (e.target as Element).classList?.contains('note-button');
  switch (e.key) {
    case ' ': return a.play;
    case 'l': case 'L': return a.loop;
    case '[': return () => a.step(-1);
    case ']': return () => a.step(1);
    case '?': return a.keys;
    case 'Escape': return a.close;
    case 'r': case 'R': return a.remark;
    case 'b': case 'B': return () => breathe(a, false);
    case 'n': case 'N': return () => breathe(a, true);
    case 'Enter': return onNote ? () => a.open(a.note()) : null;
    case 'ArrowLeft': return () => move(a, -1);
    case 'ArrowRight': return () => move(a, 1);
    case 'ArrowUp': return onNote ? () => line(a, -1) : null;
    case 'ArrowDown': return onNote ? () => line(a, 1) : null;
    case 'Home': return onNote ? () => ends(a, false) : null;
    case 'End': return onNote ? () => ends(a, true) : null;
  }
  return null;
}

/** Asking for the breath that is there already takes the mark away again. */
function breathe(a: Acts, never: boolean): void {
  const id = a.note();
  if (!id) return;
  const mark = a.marks()?.breaths.get(id);
  if (mark && !!mark.breath!.never === never) void a.desk.remove(mark, 'Breath as before');
  else void a.desk.set({ breath: { after: id, never } }, never ? 'Never breathe here' : 'Breathe here');
}

function move(a: Acts, by: number): void {
  const notes = a.sheet()?.mark.notes ?? [];
  const i = notes.findIndex((n) => n.id === a.note());
  const next = notes[i < 0 ? 0 : Math.min(Math.max(i + by, 0), notes.length - 1)];
  if (next) a.focus(next.id);
}

/** The notes by the line they stand on, each with its place. */
function lines(a: Acts): { id: string; x: number; y: number }[] {
  return (a.sheet()?.mark.notes ?? []).flatMap((n) => {
    const s = a.spot(n.id);
    return s ? [{ id: n.id, x: s.x, y: s.y }] : [];
  });
}

function line(a: Acts, by: number): void {
  const all = lines(a), here = all.find((n) => n.id === a.note());
  if (!here) return;
  const heights = [...new Set(all.map((n) => n.y))].sort((p, q) => p - q);
  const y = heights[heights.indexOf(here.y) + by];
  const near = all.filter((n) => n.y === y).sort((p, q) => Math.abs(p.x - here.x) - Math.abs(q.x - here.x))[0];
  if (near) a.focus(near.id);
}

function ends(a: Acts, last: boolean): void {
  const all = lines(a), here = all.find((n) => n.id === a.note());
  const row = all.filter((n) => n.y === here?.y);
  const to = last ? row.at(-1) : row[0];
  if (to) a.focus(to.id);
}
