// One tab alone records or sends a recording.

const name = (id: string) => `recording ${id}`;

/** Takes a recording for this tab, until the function it gives is called; null when another tab has it. */
export function take(id: string): Promise<(() => void) | null> {
  if (!navigator.locks) return Promise.resolve(() => {}); // an old browser: nothing to ask
  return new Promise((got) => {
    void navigator.locks.request(name(id), { ifAvailable: true }, (lock) => {
      if (!lock) return got(null);
      return new Promise<void>((release) => got(release));
    });
  });
}

/** The recordings that some tab has. */
export async function taken(): Promise<Set<string>> {
  const held = (await navigator.locks?.query())?.held ?? [];
  return new Set(held.flatMap((l) => (l.name?.startsWith(name('')) ? [l.name.slice(name('').length)] : [])));
}
