// The keys of the page. Inside a field they belong to the field.
import type { Sheet } from '../lib/api';
import type { Written } from '../lib/marks';
import type { Spot } from '../lib/score/engraving';
import type { Desk } from '../lib/sheet.svelte';
import { stepBy } from './steps';

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

/** Whether a key belongs to the field or button it is pressed in. */
export function inField(target: EventTarget | null, key: string): boolean {
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
  }
  return stepBy({ ids: () => (a.sheet()?.mark.notes ?? []).map((n) => n.id), here: a.note, spot: a.spot, focus: a.focus }, e.key, onNote);
}

/** Asking for the breath that is there already takes the mark away again. */
function breathe(a: Acts, never: boolean): void {
  const id = a.note();
  if (!id) return;
  const mark = a.marks()?.breaths.get(id);
  if (mark && !!mark.breath!.never === never) void a.desk.remove(mark, 'Breath as before');
  else void a.desk.set({ breath: { after: id, never } }, never ? 'Never breathe here' : 'Breathe here');
}
