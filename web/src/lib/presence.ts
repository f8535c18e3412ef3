// Whether what asked still stands when the answer comes: a screen may have been left
// meanwhile, and then nothing of it may be read, told or sounded any more.
import { onDestroy } from 'svelte';

/** To be called while a component is made; what it gives tells from then on whether the component stands. */
export function presence(): () => boolean {
  let there = true;
  onDestroy(() => (there = false));
  return () => there;
}
