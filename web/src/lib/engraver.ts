// One engraver for all screens. What it drew is kept in the browser, so that a page
// seen before stands at once, even while the engraver still starts.
import { prepared } from './score/document';
import type { Answer, Ask } from './engraver.worker';

type Want = Omit<Ask, 'id'> & { urgent?: boolean };
type Job = { want: Want; done: (svg: string) => void; failed: (e: Error) => void };

let worker: Worker | null = null;
let running: Job | null = null;
let count = 0;
const waiting: Job[] = [];

/** Starts the engraver before it is needed. */
export function warm(): void {
  if (worker) return;
  worker = new Worker(new URL('./engraver.worker.ts', import.meta.url), { type: 'module', name: 'engraver' });
  worker.onmessage = (event: MessageEvent<Answer>) => {
    const { svg, error } = event.data;
    if (svg !== undefined) running?.done(svg);
    else running?.failed(new Error(error));
    running = null;
    next();
  };
  worker.onerror = () => {
    worker?.terminate();
    worker = null;
    for (const job of [running, ...waiting.splice(0)]) job?.failed(new Error('The engraver did not start; load the page again.'));
    running = null;
  };
}

function next(): void {
  if (running || waiting.length === 0) return;
  warm();
  const urgent = waiting.findIndex((j) => j.want.urgent);
  running = waiting.splice(Math.max(urgent, 0), 1)[0]!;
  const { xml, width, scale, first } = running.want;
  worker!.postMessage({ id: ++count, xml, width, scale, first } satisfies Ask);
}

/** Draws a part. The page that is looked at goes before first lines of others. */
export async function engrave(want: Want): Promise<string> {
  const key = await keyOf(want);
  const known = await recall(key);
  if (known !== null) return known;
  const svg = await new Promise<string>((done, failed) => {
    waiting.push({ want, done, failed });
    next();
  });
  void remember(key, svg);
  return svg;
}

// The store's name carries the engraver's own tag: another engraver draws anew.
let shelf: Promise<Cache | null> | null = null;

function open(): Promise<Cache | null> {
  shelf ??= (async () => {
    try {
      const engraver = await fetch('/verovio/verovio-module.mjs', { method: 'HEAD' });
      const name = `engraved-${drawing}-${engraver.headers.get('ETag') ?? ''}`;
      for (const old of await caches.keys()) if (old !== name) await caches.delete(old);
      return await caches.open(name);
    } catch {
      return null; // storage refused: everything is drawn anew
    }
  })();
  return shelf;
}

/** Grows whenever the options of the drawing change. */
const drawing = 7;

async function keyOf({ xml, width, scale, first }: Want): Promise<string> {
  const data = new TextEncoder().encode(JSON.stringify([width, scale, first, xml]));
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', data));
  return '/engraved/' + Array.from(hash, (b) => b.toString(16).padStart(2, '0')).join('');
}

async function recall(key: string): Promise<string | null> {
  const found = await (await open())?.match(key);
  return found ? found.text() : null;
}

async function remember(key: string, svg: string): Promise<void> {
  try {
    await (await open())?.put(key, new Response(svg));
  } catch {
    // no room: it is drawn anew next time
  }
}

/** The part as it is engraved: silent bars joined, and without its name, which stands in the page's title already. */
export function forEngraver(xml: string): string {
  const doc = prepared(xml);
  doc.querySelector('part-name')?.setAttribute('print-object', 'no');
  return new XMLSerializer().serializeToString(doc);
}
