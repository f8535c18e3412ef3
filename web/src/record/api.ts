// The calls by which a recording reaches the program.
import { json, type Player, Problem, problem, type TakeCard, type Upload } from '../lib/api';
import { contentDigest } from './digest';
import type { Way } from './sender';

export type Limits = { max_take_bytes: number; max_chunk_bytes: number };
/** What is sent: whose, and what it is called. */
export type Parcel = { id: string; part: string; player: string; file_name: string; media_type: string };
export type Finish = { recorded?: string; bpm?: number; note?: string; decoded?: { upload: string; chunks: number } };

/** A chunk that has not gone in so many ms is tried again: a laptop that slept leaves calls hanging (estimate). */
const patience = 30_000;

async function putChunk(id: string, n: number, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  const headers = { 'Content-Digest': await contentDigest(bytes), 'Content-Type': 'application/octet-stream' };
  let response: Response;
  try {
    response = await fetch(`/api/uploads/${id}/chunks/${n}`, { method: 'PUT', body: bytes, headers, signal: AbortSignal.timeout(patience) });
  } catch {
    throw new Problem(0, 'The program does not answer.');
  }
  if (!response.ok) throw await problem(response);
}

export const limits = () => json<Limits>('GET', '/api/uploads');
export const dropUpload = (id: string) => json<void>('DELETE', `/api/uploads/${id}`);

/** The way a parcel goes; `finish` says what is known of it at the end. */
export function wayOf(parcel: Parcel, finish: () => Finish): Way<TakeCard> {
  return { ...chunksOf(parcel), finish: (chunks) => finishUpload(parcel.id, { chunks, ...finish() }) };
}

/** The way of chunks that another parcel's end speaks of; it gives how many they are. */
export const besides = (parcel: Parcel): Way<number> => ({ ...chunksOf(parcel), finish: (chunks) => Promise.resolve(chunks) });

export const finishUpload = (id: string, body: Finish & { chunks: number }) => json<TakeCard>('POST', `/api/uploads/${id}/finish`, body);

function chunksOf(parcel: Parcel): Omit<Way<never>, 'finish'> {
  return {
    async begin() {
      const upload = await json<Upload>('POST', '/api/uploads', parcel);
      return { held: (upload.chunks ?? []).map((c) => c.sequence), joined: !!upload.recording };
    },
    put: (n, bytes) => putChunk(parcel.id, n, bytes),
  };
}

export type NewPlayer = Pick<Player, 'name' | 'instrument' | 'level' | 'reach_cm'>;

/** A name for an upload that no other has: when, and by chance. */
export function uploadID(kind: 'take' | 'file' | 'sound', now = Date.now()): string {
  const chance = [...crypto.getRandomValues(new Uint8Array(6))].map((b) => b.toString(16).padStart(2, '0')).join('');
  return `${kind}-${now.toString(36)}-${chance}`;
}
