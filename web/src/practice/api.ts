// What the practice of one part for one player asks of the program.
import type { components } from '../lib/api.gen';
import { json, query, request, type SheetQuery, type Timeline } from '../lib/api';

type Schemas = components['schemas'];
export type Plan = Schemas['Plan'];
export type Day = Schemas['Day'];
export type Item = Schemas['Item'];
export type Segment = Schemas['Segment'];
export type Ground = Schemas['Ground'];
export type Terms = Schemas['SheetTerms'];
export type Done = Schemas['DoneOn'];
/** The plan is null where there is none; `reason` says why. */
export type Practice = Omit<Schemas['PracticeDocument'], 'plan'> & { plan: Plan | null };
export type Pair = { part: string; player: string };

/** What sounds: bars at a tempo, with what is added and left out. */
export type Playing = SheetQuery & { from?: string; to?: string; conducted?: boolean; click?: boolean; playalong?: boolean; inner?: string };

export const practice = {
  get: (pair: Pair) => json<Practice>('GET', `/api/practice?${query(pair)}`),
  set: (pair: Pair, revision: number, terms: Terms) => json<Practice>('PUT', '/api/practice', { ...pair, revision, terms }),
  done: (pair: Pair, date: string, item: number, minutes: number, done: boolean) =>
    json<Practice>('POST', '/api/practice/done', { ...pair, date, item, minutes, done }),
  calendar: (pair: Pair) => `/api/practice/calendar?${query(pair)}`,
  timeline: (q: Playing) => json<Timeline>('GET', `/api/sheet/timeline?${query(q)}`),
  sound: async (q: Playing) => (await request('GET', `/api/sheet/sound?${query(q)}`)).arrayBuffer(),
};
