// What the desk says of all takes of a part for one player.
import type { components } from '../lib/api.gen';
import { json, query, type TakeCard } from '../lib/api';

type Schemas = components['schemas'];
/** What was measured in the five stages of a take. Units are in the names. */
export type Stages = Schemas['Stages'];
/** One take among the others; its rank, from 1, is an order and no grade. No stages where it could not be heard. */
export type Compared = Omit<Schemas['ComparedTake'], 'by_stage'> & { by_stage: Stages | null };
export type Comparison = Omit<Schemas['Comparison'], 'takes'> & { takes: Compared[] | null };

export const compare = (part: string, player: string) => json<Comparison>('GET', `/api/takes/compare?${query({ part, player })}`);

export const exportHref = (take: TakeCard) => `/api/takes/${take.id}/export`;
