// What is recorded, kept in this browser (IndexedDB) until the program has it.
// A chunk and the length of its recording are written together: what is found after
// a crash is whole up to its last chunk.
import { wavHeader } from './pcm';

export type Kept = {
  id: string; part: string; player: string; title: string; name: string; // the part's title and the player's name
  rate: number; bpm: number; recorded: string; fileName: string;
  stopped: boolean; // by the player; otherwise something else ended it
  chunks: number; bytes: number; // of sound, after the header
  lost?: string; // where the microphone gave nothing, in words
};

const channels = 1;

export interface Shelf {
  /** Writes a recording's own line. */
  note(kept: Kept): Promise<void>;
  /** Adds chunk n, from 1 on, and notes the recording with it. */
  add(kept: Kept, n: number, bytes: Uint8Array<ArrayBuffer>): Promise<void>;
  chunk(id: string, n: number): Promise<Uint8Array<ArrayBuffer> | undefined>;
  all(): Promise<Kept[]>;
  remove(kept: Kept): Promise<void>;
}

const answered = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((got, failed) => {
    request.onsuccess = () => got(request.result);
    request.onerror = () => failed(request.error);
  });
const ended = (work: IDBTransaction): Promise<void> =>
  new Promise((got, failed) => {
    work.oncomplete = () => got();
    work.onabort = work.onerror = () => failed(work.error);
  });

/** Opens this browser's shelf. */
export async function openShelf(): Promise<Shelf> {
  const open = indexedDB.open('recordings', 1);
  open.onupgradeneeded = () => {
    open.result.createObjectStore('recordings', { keyPath: 'id' });
    open.result.createObjectStore('chunks'); // by [id, n]
  };
  return shelfOn(await answered(open));
}

function shelfOn(db: IDBDatabase): Shelf {
  const write = () => db.transaction(['recordings', 'chunks'], 'readwrite', { durability: 'strict' });
  return {
    note(kept) {
      const work = write();
      work.objectStore('recordings').put(kept);
      return ended(work);
    },
    add(kept, n, bytes) {
      const work = write();
      work.objectStore('chunks').put(bytes, [kept.id, n]);
      work.objectStore('recordings').put(kept);
      return ended(work);
    },
    chunk: (id, n) => answered(db.transaction('chunks').objectStore('chunks').get([id, n])),
    all: () => answered(db.transaction('recordings').objectStore('recordings').getAll()),
    remove(kept) {
      const work = write();
      work.objectStore('chunks').delete(IDBKeyRange.bound([kept.id], [kept.id, []]));
      work.objectStore('recordings').delete(kept.id);
      return ended(work);
    },
  };
}

/** A recording with its chunks: on the shelf, or in memory where the shelf has no room. */
export class Tape {
  /** Why chunks stay in memory alone; empty while the shelf takes them. */
  trouble = '';
  private memory = new Map<number, Uint8Array<ArrayBuffer>>();
  private last: Promise<void> = Promise.resolve();

  constructor(
    public kept: Kept,
    private readonly shelf: Shelf | null,
  ) {
    if (!shelf) this.trouble = 'This browser keeps nothing (is it a private window?).';
  }

  /** Keeps the next chunk; chunks are written one after the other. */
  add(n: number, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
    this.last = this.last.then(async () => {
      this.kept = { ...this.kept, chunks: n, bytes: this.kept.bytes + bytes.length };
      await this.keep(() => this.shelf!.add(this.kept, n, bytes), () => this.memory.set(n, bytes));
    });
    return this.last;
  }

  /** Keeps the next chunk as far as it has come: what is left of it after a crash. */
  part(n: number, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
    this.last = this.last.then(async () => {
      if (this.trouble || n <= this.kept.chunks) return;
      const sofar = { ...this.kept, chunks: n, bytes: this.kept.bytes + bytes.length };
      await this.keep(() => this.shelf!.add(sofar, n, bytes), () => {});
    });
    return this.last;
  }

  /** Notes where the microphone gave nothing. */
  lost(words: string): void {
    this.last = this.last.then(() => void (this.kept = { ...this.kept, lost: words }));
  }

  /** Notes that the player stopped it. */
  stop(): Promise<void> {
    this.last = this.last.then(() => {
      this.kept = { ...this.kept, stopped: true };
      return this.keep(() => this.shelf!.note(this.kept), () => {});
    });
    return this.last;
  }

  private async keep(write: () => Promise<void>, otherwise: () => void): Promise<void> {
    if (this.trouble) return otherwise();
    try {
      await write();
    } catch (e) {
      const full = (e as DOMException | null)?.name === 'QuotaExceededError';
      this.trouble = full ? 'This browser has no room left to keep a recording.' : 'This browser cannot keep the recording.';
      otherwise();
    }
  }

  /** A chunk as it is sent: 0 is the header, known once the recording has ended. */
  async chunk(n: number): Promise<Uint8Array<ArrayBuffer>> {
    if (n === 0) return wavHeader(this.kept.rate, channels, this.kept.bytes);
    const bytes = this.memory.get(n) ?? (await this.shelf?.chunk(this.kept.id, n));
    if (!bytes) throw new Error(`second ${n} of the recording is no longer in this browser`);
    return bytes;
  }

  /** The whole file. */
  async file(): Promise<Blob> {
    const parts = await Promise.all(Array.from({ length: this.kept.chunks + 1 }, (_, n) => this.chunk(n)));
    return new Blob(parts, { type: 'audio/wav' });
  }

  async remove(): Promise<void> {
    await this.last;
    this.memory.clear();
    await this.shelf?.remove(this.kept);
  }
}
