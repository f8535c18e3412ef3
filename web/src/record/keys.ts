// Space starts and stops, Esc stops the count-in. Inside a field they belong to the field.
import type { Phase } from './recorder.svelte';

export type Acts = { phase: () => Phase; press: () => void; cancel: () => void };

export function keys(a: Acts): (e: KeyboardEvent) => void {
  return (e) => {
    if (e.defaultPrevented || e.altKey || e.ctrlKey || e.metaKey || e.repeat) return;
    const counting = a.phase() === 'counting', target = e.target as Element | null;
    if (e.key === 'Escape' && counting) act(e, a.cancel);
    else if (e.key === ' ' && !counting && !belongs(target, a.phase() === 'recording')) act(e, a.press);
  };
}

function act(e: KeyboardEvent, what: () => void): void {
  e.preventDefault();
  what();
}

/** A button takes Space itself; while it records, only the button that stops does. */
function belongs(target: Element | null, recording: boolean): boolean {
  if (!target?.closest) return false;
  if (recording) return !!target.closest('.big');
  return !!target.closest('button, a, input, select, textarea, audio, summary');
}
