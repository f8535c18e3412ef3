// Takes made here: from the microphone onto the shelf and on to the program.
import type { TakeCard } from '../lib/api';
import { room } from '../lib/room.svelte';
import { dropUpload, uploadID, wayOf } from './api';
import { Delivery } from './delivery.svelte';
import { fileHash } from './digest';
import { take } from './lock';
import { sampleBytes } from './pcm';
import type { Taker } from './recorder.svelte';
import { recorded as goesOn, Sender } from './sender';
import { type Kept, type Shelf, Tape } from './shelf';
import { fileName, gapWords, withZone } from './words';

export type Sheet = { part: string; player: string; title: string; name: string };

/** Where chunks go that this browser does not keep. */
const inMemory = 'What you play goes straight to the program and stays in memory until it is there: keep this page open until then.';

const senderOf = (tape: Tape, d: Delivery, total: () => number) => {
  const { id, part, player, fileName: file_name, recorded, bpm } = tape.kept;
  const way = wayOf({ id, part, player, file_name, media_type: 'audio/wav' }, () => ({ recorded, ...(bpm > 0 ? { bpm } : {}), ...(tape.kept.lost ? { note: tape.kept.lost } : {}) }));
  const sender: Sender<TakeCard> = new Sender(way, (n) => tape.chunk(n), (why) => {
    d.waits = why;
    if (total() > 0) d.share = sender.sent / total();
  }, goesOn);
  return sender;
};

/** Gives the tape up to the program: it is wiped here only when the program has every byte of it. */
async function hand(tape: Tape, sender: Sender<TakeCard>, d: Delivery): Promise<void> {
  const sending = sender.run();
  const wiped = sending.then(async (card) => {
    if (!card) return;
    const own = await fileHash(await (await tape.file()).arrayBuffer());
    if (card.recording === own) await tape.remove();
    else d.keeps = 'What the program has is not what was recorded, so the recording stays in this browser too: save it to a file.';
  });
  await Promise.all([d.follow(sending), wiped.catch(() => {})]); // follow tells what went wrong
}

/** Takes a recording as it is made. `made` is told of it when there is something of it. */
export function recording(sheet: Sheet, bpm: number, shelf: Shelf | null, made: (d: Delivery) => void): Taker {
  let tape: Tape, sender: ReturnType<typeof senderOf>, d: Delivery, total = 0, chunks = 0;
  let release: Promise<(() => void) | null>;
  return {
    begin(rate) {
      const now = new Date(), name = fileName(sheet.title, sheet.name, now);
      const kept: Kept = { ...sheet, id: uploadID('take'), rate, bpm, recorded: withZone(now), fileName: name, stopped: false, chunks: 0, bytes: 0 };
      tape = new Tape(kept, shelf);
      d = new Delivery(kept.id, name);
      sender = senderOf(tape, d, () => total);
      release = take(kept.id);
      void hand(tape, sender, d).finally(() => void release.then((f) => f?.()));
      made(d);
    },
    chunk(c) {
      chunks = c.n;
      void tape.add(c.n, c.bytes).then(() => {
        sender.offer(c.n);
        if (tape.trouble && !d.keeps) room.say((d.keeps = `${tape.trouble} ${inMemory}`));
      });
    },
    part: (c) => void tape.part(c.n, c.bytes),
    end(loudest, gaps) {
      total = chunks + 1;
      d.lost = gapWords(gaps);
      tape.lost(d.lost);
      void tape.stop().then(async () => {
        if (chunks === 0) return sender.stop();
        Object.assign(d, { loudest, seconds: tape.kept.bytes / sampleBytes / tape.kept.rate });
        sender.offer(0);
        sender.end(total);
        d.url = URL.createObjectURL(await tape.file());
      });
    },
  };
}

/** Sends what lies on the shelf. Null when another tab has it. */
export async function finish(kept: Kept, shelf: Shelf): Promise<Delivery | null> {
  const release = await take(kept.id);
  if (!release) return null;
  const tape = new Tape(kept, shelf), d = new Delivery(kept.id, kept.fileName), total = kept.chunks + 1;
  const sender = senderOf(tape, d, () => total);
  d.seconds = seconds(kept);
  d.lost = kept.lost ?? '';
  d.url = URL.createObjectURL(await tape.file());
  for (let n = 1; n < total; n++) sender.offer(n);
  sender.offer(0);
  sender.end(total);
  void hand(tape, sender, d).finally(release);
  return d;
}

export const seconds = (kept: Kept) => kept.bytes / sampleBytes / kept.rate;

export const listen = async (kept: Kept, shelf: Shelf) => URL.createObjectURL(await new Tape(kept, shelf).file());

/** Wipes a recording here, and what the program has of it. False when another tab has it. */
export async function discard(kept: Kept, shelf: Shelf): Promise<boolean> {
  const release = await take(kept.id);
  if (!release) return false;
  await dropUpload(kept.id).catch(() => {}); // nothing of it came there, or the program is away: it is told as open there
  await new Tape(kept, shelf).remove();
  release();
  return true;
}
