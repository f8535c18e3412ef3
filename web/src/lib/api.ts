// The desk's API. Its types are generated from the handlers of the program.
import type { components, paths } from './api.gen';
import type { FailedTake, Heard } from './heard';

type Schemas = components['schemas'];
export type Season = Schemas['SeasonAnswerBody'];
export type PartCard = Schemas['PartCard'];
export type Player = Schemas['Player'];
export type Sheet = Schemas['SheetAnswerBody'];
export type Mark = Schemas['Mark'];
export type Finding = Schemas['Finding'];
export type MarkedNote = Schemas['MarkedNote'];
export type Timeline = Schemas['TimelineDocument'];
/** A take as lists show it; not measured yet where `measured` is null. */
export type TakeCard = Omit<Schemas['TakeCard'], 'measured' | 'part' | 'player'> & { part: string; player: string; measured: Schemas['Measured'] | null };
export type Upload = Schemas['Upload'];
export type TrendPoint = Schemas['TrendPoint'];
export type SheetQuery = paths['/api/sheet']['get']['parameters']['query'];

/** What went wrong, in words for the person at the screen. */
export class Problem extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }
}

export async function request(method: string, path: string, body?: unknown): Promise<Response> {
  const init: RequestInit = { method };
  if (body instanceof Blob) {
    init.body = body;
    init.headers = { 'Content-Type': 'application/octet-stream' };
  } else if (body !== undefined) {
    init.body = JSON.stringify(body);
    init.headers = { 'Content-Type': 'application/json' };
  }
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch {
    throw new Problem(0, 'The program does not answer. Is it still running? Nothing you did is lost; try again when it is.');
  }
  if (!response.ok) throw await problem(response);
  return response;
}

export async function problem(response: Response): Promise<Problem> {
  const text = await response.text();
  try {
    const told = JSON.parse(text) as { detail?: string; title?: string; errors?: { message?: string }[] };
    const more = (told.errors ?? []).map((e) => e.message).filter((m): m is string => !!m && m !== told.detail);
    return new Problem(response.status, [told.detail ?? told.title ?? text, ...more].join(': '));
  } catch {
    return new Problem(response.status, text.trim() || response.statusText);
  }
}

export async function json<T>(method: string, path: string, body?: unknown): Promise<T> {
  const response = await request(method, path, body);
  return response.status === 204 ? (undefined as T) : ((await response.json()) as T);
}

/** A query string of what is set. */
export function query(values: object): string {
  const q = new URLSearchParams();
  for (const [key, value] of Object.entries(values)) {
    if (value !== undefined && value !== '' && value !== 0 && value !== false) q.set(key, String(value));
  }
  return q.toString();
}

export type MarkBody = { part: string; player?: string } & Partial<Pick<Mark, 'position' | 'breath' | 'remark'>>;

export const api = {
  season: () => json<Season>('GET', '/api/season'),
  sheet: (q: SheetQuery) => json<Sheet>('GET', `/api/sheet?${query(q)}`),
  score: async (q: SheetQuery) => (await request('GET', `/api/sheet/score?${query(q)}`)).text(),
  sound: async (q: SheetQuery & { click?: boolean; count_in?: number; tuning?: number }) =>
    (await request('GET', `/api/sheet/sound?${query(q)}`)).arrayBuffer(),
  addPart: (file: File, line = '', due = '') => json<PartCard>('POST', `/api/parts?${query({ file: file.name, line, due })}`, file),
  putPart: (part: Schemas['Part']) => json<PartCard>('PUT', `/api/parts/${part.id}`, part),
  deletePart: (part: { id: string; revision: number }) => json<void>('DELETE', `/api/parts/${part.id}?${query({ revision: part.revision })}`),
  addPlayer: (player: Omit<Player, 'id' | 'revision'>) => json<Player>('POST', '/api/players', { id: '', revision: 0, ...player }),
  putPlayer: (player: Player) => json<Player>('PUT', `/api/players/${player.id}`, player),
  deletePlayer: (player: Player) => json<void>('DELETE', `/api/players/${player.id}?${query({ revision: player.revision })}`),
  setMark: (mark: MarkBody, instrument = '') =>
    json<Mark>('POST', `/api/marks?${query({ instrument })}`, { id: '', revision: 0, written: new Date().toISOString(), ...mark }),
  deleteMark: (mark: Mark) =>
    json<void>('DELETE', `/api/marks/${mark.id}?${query({ part: mark.part, player: mark.player, revision: mark.revision })}`),
  takes: async (q: { part?: string; player?: string }) => (await json<{ takes: TakeCard[] | null }>('GET', `/api/takes?${query(q)}`)).takes ?? [],
  take: (id: string) => json<TakeCard>('GET', `/api/takes/${id}`),
  heard: (id: string) => json<Heard | FailedTake>('GET', `/api/takes/${id}/heard`),
  noteTake: (take: TakeCard, rule_out: string[], note: string) => json<TakeCard>('PUT', `/api/takes/${take.id}`, { revision: take.revision, rule_out, note }),
  chooseTake: (take: TakeCard, chosen: boolean, instead_of = '') =>
    json<TakeCard>('PUT', `/api/takes/${take.id}/chosen`, { revision: take.revision, chosen, ...(instead_of ? { instead_of } : {}) }),
  measureTake: (id: string) => json<TakeCard>('POST', `/api/takes/${id}/measure`),
  deleteTake: (take: TakeCard) => json<void>('DELETE', `/api/takes/${take.id}?${query({ revision: take.revision })}`),
  trend: async (part: string, player: string) => (await json<{ points: TrendPoint[] | null }>('GET', `/api/trend?${query({ part, player })}`)).points ?? [],
  undo: (sheet: { part: string; player?: string }) => json<unknown>('POST', '/api/undo', sheet),
  redo: (sheet: { part: string; player?: string }) => json<unknown>('POST', '/api/redo', sheet),
};
