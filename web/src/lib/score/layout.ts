// How systems are set apart to make room for the lanes under them and the words
// over them.
export type Extent = { top: number; bottom: number; above: number; below: number };

/**
 * How far down each system moves: `above` and `below` are what is added to it, and
 * `gap` stays between neighbors. Systems keep their distance where that is more.
 */
export function pack(systems: readonly Extent[], gap: number): { shifts: number[]; height: number } {
  const shifts: number[] = [];
  let free = 0; // the first height that is free
  systems.forEach((s, i) => {
    const top = i === 0 ? free : free + gap;
    const shift = top - (s.top - s.above);
    shifts.push(shift);
    free = s.bottom + s.below + shift;
  });
  return { shifts, height: free };
}

/** Breaks text into lines of at most so many letters; what does not fit in `most` lines ends in an ellipsis. */
export function wrap(text: string, letters: number, most: number): string[] {
  const lines: string[] = [];
  for (const word of text.trim().split(/\s+/)) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= letters) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  if (lines.length <= most) return lines;
  const kept = lines.slice(0, most);
  kept[most - 1] = kept[most - 1]!.replace(/[\s.,;:]*$/, '…');
  return kept;
}
