// The keys of a take. Inside a field they belong to the field.
import type { Key } from '../page/Keys.svelte';
import { inField } from '../page/keyboard';
import { stepBy, type Steps } from '../page/steps';

export type Acts = {
  playing: () => boolean; play: () => void; playThere: () => void; change: () => void; remark: () => void; loop: () => void; step: (by: number) => void;
  open: () => void; close: () => void; take: (by: number) => void; keys: () => void; undo: () => void; redo: () => void; steps: Steps;
};

export const keyList: readonly Key[] = [
  ['Space', 'play, stop'], ['P', 'play the chosen place from a second before it'], ['R', 'the reference at the same place, and back'], ['M', 'remark at this moment'],
  ['L', 'loop the bar, or the ringed bars; again to stop'], ['[ ]', 'finding before, finding after'], ['← →', 'from note to note'], ['↑ ↓', 'to the line above, below'],
  ['Home End', 'first and last note of the line'], ['Enter', 'to the numbers of a note'], ['Esc', 'close'], [', .', 'the take before, the take after'],
  ['Ctrl Z', 'take back'], ['Ctrl Shift Z', 'make again'], ['?', 'this list'],
];

type Handler = (e: KeyboardEvent) => void;

/**
 * What a key does when it goes down, and what keeps it from doing more: it writes
 * nothing into a field that it opened, and presses no button when it is let go, as
 * some browsers act on the letter or on the release.
 */
export function takeKeys(a: Acts): { down: Handler; after: Handler } {
  let taken = '';
  return {
    down: (e) => {
      taken = '';
      if (e.defaultPrevented || e.altKey || (inField(e.target, e.key) && !stops(a, e))) return;
      const act = e.ctrlKey || e.metaKey ? withControl(a, e) : plain(a, e);
      if (!act) return;
      taken = e.key;
      e.preventDefault();
      act();
    },
    after: (e) => {
      if (taken && e.key === taken) e.preventDefault();
      if (e.type === 'keyup') taken = '';
    },
  };
}

/** Space stops what plays from every button as well; to press one there is Enter. */
function stops(a: Acts, e: KeyboardEvent): boolean {
  return e.key === ' ' && a.playing() && !!(e.target as Element).closest('button') && !(e.target as Element).closest('dialog, .transport');
}

function withControl(a: Acts, e: KeyboardEvent): (() => void) | null {
  if (e.key.toLowerCase() === 'y') return a.redo;
  if (e.key.toLowerCase() !== 'z') return null;
  return e.shiftKey ? a.redo : a.undo;
}

function plain(a: Acts, e: KeyboardEvent): (() => void) | null {
  const onNote = (e.target as Element).classList?.contains('note-button');
  switch (e.key) {
    case ' ': return a.play;
    case 'p': case 'P': return a.playThere;
    case 'r': case 'R': return a.change;
    case 'm': case 'M': return a.remark;
    case 'l': case 'L': return a.loop;
    case '[': return () => a.step(-1);
    case ']': return () => a.step(1);
    case ',': return () => a.take(1);
    case '.': return () => a.take(-1);
    case '?': return a.keys;
    case 'Escape': return a.close;
    case 'Enter': return onNote ? a.open : null;
  }
  return stepBy(a.steps, e.key, onNote);
}
