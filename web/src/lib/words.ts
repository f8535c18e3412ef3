// Numbers and names in the words of the trade.

/** "B♭3" for "Bb3", "F♯3" for "F#3". */
export function pitch(name: string): string {
  return name.replace(/^([A-G])(b+|#+)/, (_, letter: string, signs: string) => letter + (signs[0] === 'b' ? '♭' : '♯').repeat(signs.length));
}

/** "B flat 3", for a screen reader. */
export function spokenPitch(name: string): string {
  return name.replace(/^([A-G])(b*)(#*)(-?\d+)$/, (_, l: string, b: string, s: string, o: string) =>
    [l, ...Array<string>(b.length).fill('flat'), ...Array<string>(s.length).fill('sharp'), o].join(' '),
  );
}

export function key(name: string): string {
  return name.replace(/^([A-G])b/, '$1♭').replace(/^([A-G])#/, '$1♯');
}

/** "0:49" */
export function length(seconds: number): string {
  const s = Math.round(seconds);
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, '0')}`;
}

/** How far away a day (as 2026-12-01) is: "in 11 days", "today". */
export function due(day: string, now = new Date()): string {
  const [y, m, d] = day.split('-').map(Number);
  if (!y || !m || !d) return '';
  const days = Math.round((Date.UTC(y, m - 1, d) - Date.UTC(now.getFullYear(), now.getMonth(), now.getDate())) / 86_400_000);
  if (days === 0) return 'today';
  if (days === 1) return 'tomorrow';
  if (days === -1) return 'yesterday';
  return days > 0 ? `in ${days} days` : `${-days} days ago`;
}

export const levels = ['level 1', 'level 2', 'level 3', 'advanced', 'professional'];

/** "9–11", "9", or "all" for the whole part of so many bars. */
export function bars(range: readonly string[] | null, last?: string): string {
  if (!range || range.length === 0) return '';
  const [a, b = a] = range;
  if (last !== undefined && a !== b && b === last && (a === '1' || a === '0')) return 'all';
  return a === b ? `${a}` : `${a}–${b}`;
}

/** "costs 0.4 more", or "costs the same". */
export function cost(extra: number): string {
  return extra < 0.05 ? 'costs the same' : `costs ${extra.toFixed(1)} more`;
}

export function cents(value: number): string {
  const r = Math.round(value);
  return r === 0 ? 'in tune' : `${Math.abs(r)} cents ${r > 0 ? 'sharp' : 'flat'}`;
}

/** "half" → "half note". */
export function beat(unit: string): string {
  return /note$/.test(unit) || /minim|crotchet|quaver|breve/.test(unit) ? unit : `${unit} note`;
}
