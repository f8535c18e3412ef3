// A recording made elsewhere: sent as it is. What the program cannot open, the browser
// may; its sound is then sent besides, and the original stays what is kept.
import { Problem, type TakeCard } from '../lib/api';
import { besides, finishUpload, limits, type Parcel, uploadID, wayOf } from './api';
import type { Delivery } from './delivery.svelte';
import { wavOf } from './pcm';
import { file as goesOn, Sender, type Way } from './sender';
import { size, withZone } from './words';

/** Bytes of a chunk: a second at 30 Mb/s, small enough to see the progress (estimate). */
const chunkBytes = 4 << 20;
/** Rate in Hz at which the browser decodes: that of video (common practice). */
const decodedRate = 48_000;

/** Why a file cannot be a take; empty when it may be. */
export function refused(file: Pick<File, 'name' | 'size'>, most: number): string {
  if (file.size === 0) return `${file.name} is empty. Choose the recording itself.`;
  if (file.size <= most) return '';
  return `${file.name} has ${size(file.size)}; at most ${size(most)} are taken. Cut it to the excerpt, or send the sound without the picture.`;
}

/** Sends a file, telling its delivery how far it is; the take that came of it. */
export async function sendFile(file: File, sheet: { part: string; player: string }, d: Delivery): Promise<TakeCard | null> {
  const { max_take_bytes, max_chunk_bytes } = await limits();
  const no = refused(file, max_take_bytes);
  if (no) throw new Problem(413, no);
  const parcel = { id: d.id, part: sheet.part, player: sheet.player, file_name: file.name, media_type: file.type };
  const piece = Math.min(chunkBytes, max_chunk_bytes), made = madeAt(file);
  try {
    return await send(file, piece, wayOf(parcel, () => made), d);
  } catch (e) {
    if (!(e instanceof Problem && e.status === 415)) throw e;
    return await sendDecoded(file, piece, parcel, made, d, e);
  }
}

/** When it was made, as the file itself has it. */
function madeAt(file: File): { recorded?: string } {
  return file.lastModified > 0 && file.lastModified <= Date.now() ? { recorded: withZone(new Date(file.lastModified)) } : {};
}

function send<T>(data: Blob, piece: number, way: Way<T>, d: Delivery): Promise<T | null> {
  const total = Math.ceil(data.size / piece);
  const bytes = async (n: number) => new Uint8Array(await data.slice(n * piece, (n + 1) * piece).arrayBuffer());
  const sender = new Sender(way, bytes, (why) => {
    d.waits = why;
    d.share = sender.sent / total;
  }, goesOn);
  for (let n = 0; n < total; n++) sender.offer(n);
  sender.end(total);
  return sender.run();
}

/** Lets the browser decode a file; where it cannot either, the program's words stand. */
async function sendDecoded(file: File, piece: number, parcel: Parcel, made: { recorded?: string }, d: Delivery, why: Problem): Promise<TakeCard | null> {
  d.share = null;
  let wav: Blob;
  try {
    wav = wavOf(await new OfflineAudioContext(1, 1, decodedRate).decodeAudioData(await file.arrayBuffer()));
  } catch {
    throw why;
  }
  const sound = { ...parcel, id: uploadID('sound'), media_type: 'audio/wav' };
  const chunks = await send(wav, piece, besides(sound), d);
  if (chunks === null) return null;
  return finishUpload(parcel.id, { chunks: Math.ceil(file.size / piece), ...made, decoded: { upload: sound.id, chunks } });
}
