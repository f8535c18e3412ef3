// How the room is lit, what lies folded, and what is said to those who do not see
// the page change. Kept in this browser.
type Light = 'light' | 'dark';

const asked = matchMedia('(prefers-color-scheme: dark)');

class Room {
  private chosen = $state<Light | null>(read('room') as Light | null);
  private system = $state<Light>(asked.matches ? 'dark' : 'light');
  slide = $state(read('lane-slide') !== 'folded');
  air = $state(read('lane-air') !== 'folded');
  said = $state('');

  constructor() {
    asked.addEventListener('change', () => (this.system = asked.matches ? 'dark' : 'light'));
  }

  get light(): Light {
    return this.chosen ?? this.system;
  }

  toggle(): void {
    const next = this.light === 'dark' ? 'light' : 'dark';
    this.chosen = next === this.system ? null : next;
    keep('room', this.chosen);
  }

  fold(lane: 'slide' | 'air'): void {
    this[lane] = !this[lane];
    keep(`lane-${lane}`, this[lane] ? null : 'folded');
  }

  /** Announces a change to a screen reader. */
  say(text: string): void {
    this.said = text === this.said ? text + '\u00a0' : text;
  }
}

function read(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null; // storage refused: nothing is kept
  }
}

function keep(key: string, value: string | null): void {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch {
    // storage refused: nothing is kept
  }
}

export const room = new Room();
export const still = () => matchMedia('(prefers-reduced-motion: reduce)').matches;
