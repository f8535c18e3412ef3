// The address of a page, and what it asks for.
import { query as encode, type SheetQuery } from './api';

export function asked(part: string, q: URLSearchParams): SheetQuery {
  const out: SheetQuery = { part };
  const number = (name: string) => Number(q.get(name)) || undefined;
  const set = { player: q.get('player') || undefined, instrument: q.get('instrument') || undefined, bpm: number('bpm'), level: number('level'), reach: number('reach') };
  for (const [key, value] of Object.entries(set)) if (value !== undefined) Object.assign(out, { [key]: value });
  return out;
}

export function address({ part, ...rest }: SheetQuery): string {
  const q = encode(rest);
  return `/part/${part}${q ? `?${q}` : ''}`;
}
