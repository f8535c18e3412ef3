import { beforeEach, expect, test, vi } from 'vitest';
import type { Timeline } from '../lib/api';
import { Cutter, type Chunk } from './chunks';
import type { Block } from './mic';
import { Recorder, type Taker } from './recorder.svelte';
import { type Kept, type Shelf, Tape } from './shelf';
import { gapWords } from './words';

const rate = 48_000;
let hear: (block: Block) => void;
const opened = vi.hoisted(() => vi.fn());
const context = { currentTime: 0, sampleRate: rate, outputLatency: 0, state: 'running', resume: async () => {} };
const mic = {
  context, track: {}, disobeyed: [],
  listen: (f: (block: Block) => void) => (hear = f),
  flush: () => new Promise((r) => setTimeout(r, 50)),
  close: vi.fn(),
};
vi.mock('./mic', () => ({ allowed: async () => true, cannot: () => '', devices: async () => [], open: () => opened(), why: String }));
vi.mock('../lib/room.svelte', () => ({ room: { say: () => {} } }));
vi.mock('../lib/clicks', () => ({
  Clicks: class { countIn() {} stop() {} },
  counted: () => [{ at: -4, down: true }, { at: -3 }, { at: -2 }, { at: -1 }],
}));

const timeline = {} as Timeline;
const taker = () => ({ begin: vi.fn(), chunk: vi.fn(), part: vi.fn(), end: vi.fn() }) satisfies Taker;
const block = (first: number, n = 2048) => ({ first, samples: new Float32Array(n).fill(0.25), missing: 0 });

beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal('window', globalThis);
  vi.stubGlobal('requestAnimationFrame', () => 0);
  vi.stubGlobal('cancelAnimationFrame', () => {});
  context.currentTime = 0;
  mic.close.mockClear();
  opened.mockReset().mockResolvedValue(mic);
});

test('a screen that is left while the recording ends has it ended all the same, then closed', async () => {
  const r = new Recorder(), t = taker();
  await r.start('off', timeline, '', t);
  hear(block(0));
  void r.stop();
  const left = r.leave();
  expect(t.end).not.toHaveBeenCalled();
  await vi.advanceTimersByTimeAsync(100);
  await left;
  expect(t.end).toHaveBeenCalledTimes(1);
  expect(t.chunk.mock.calls.map((call) => (call as unknown as [Chunk])[0].frames)).toEqual([2048]);
  expect(mic.close).toHaveBeenCalledTimes(1);
});

test('once the screen is left no microphone opens, though Record was pressed while one did', async () => {
  const r = new Recorder(), t = taker();
  let come = (_: typeof mic) => {};
  opened.mockReturnValueOnce(new Promise((got) => (come = got)));
  const opening = r.open('');
  const pressed = r.start('off', timeline, '', t);
  await r.leave();
  come(mic);
  await opening;
  await pressed;
  await r.openIfAllowed('');
  expect([opened.mock.calls.length, mic.close.mock.calls.length, r.phase]).toEqual([1, 1, 'off']);
  expect(t.begin).not.toHaveBeenCalled();
});

test('a count-in that was given up does not end the next one', async () => {
  const r = new Recorder(), t = taker();
  await r.start('seen', timeline, '', t);
  await vi.advanceTimersByTimeAsync(4000);
  context.currentTime = 4;
  r.cancel();
  await r.start('seen', timeline, '', t);
  await vi.advanceTimersByTimeAsync(2000);
  expect(r.phase).toBe('counting');
  await vi.advanceTimersByTimeAsync(4000);
  expect(r.phase).toBe('recording');
});

test('what waits for its second to fill is let go four times in it, each time longer', () => {
  const passed: number[] = [], parts: [number, number][] = [];
  const c = new Cutter(rate, 0, (chunk) => passed.push(chunk.n), (chunk) => parts.push([chunk.n, chunk.frames]));
  for (let at = 0; at < 1.6 * rate; at += 2048) c.add(at, new Float32Array(2048));
  expect(passed).toEqual([1]);
  expect(parts.map(([n]) => n)).toEqual([1, 1, 1, 2, 2]);
  expect(parts.every(([, frames], i) => frames >= 0.25 * rate * ((i % 3) + 1) && frames < 0.3 * rate * ((i % 3) + 1))).toBe(true);
});

test('after a crash the shelf has what the tape kept last, part of a second too', async () => {
  const kept = { id: 'a', chunks: 0, bytes: 0, rate } as Kept, chunks = new Map<number, number>();
  let line = kept;
  const shelf = { add: async (k: Kept, n: number, bytes: Uint8Array) => void ((line = k), chunks.set(n, bytes.length)), note: async () => {} } as unknown as Shelf;
  const tape = new Tape(kept, shelf);
  await tape.add(1, new Uint8Array(600));
  await tape.part(2, new Uint8Array(150));
  expect([line.chunks, line.bytes, chunks.get(2)]).toEqual([2, 750, 150]);
  await tape.add(2, new Uint8Array(600));
  await tape.part(2, new Uint8Array(90)); // late: the second is whole already
  expect([line.chunks, line.bytes, chunks.get(2)]).toEqual([2, 1200, 600]);
});

test('where frames are lost silence stands in their place, and it is said', () => {
  const c = new Cutter(rate, 0, (chunk) => bytes.push(chunk.bytes)), bytes: Uint8Array[] = [];
  const ones = () => new Float32Array(4800).fill(0.5);
  c.add(0, ones());
  c.add(4800, ones());
  c.add(9600 + 960, ones()); // 20 ms are gone
  c.add(9600 + 960 + 4800, ones());
  c.add(9600 + 960 + 9600, ones(), 480); // 10 ms of it the microphone gave nothing
  c.flush();
  expect(c.frames).toBe(5 * 4800 + 960);
  expect(c.gaps.map((g) => [g.at, +g.seconds.toFixed(4)])).toEqual([[0.2, 0.02], [0.42, 0.01]]);
  const at = (frame: number) => bytes[0]!.slice(3 * frame, 3 * frame + 3).join();
  expect([at(9599), at(9600), at(10_559), at(10_560)]).toEqual(['0,0,64', '0,0,0', '0,0,0', '0,0,64']);
  expect(gapWords(c.gaps)).toBe('At 0:00, 0:00 the microphone gave nothing, 0.03 s in all; silence stands there. Listen before you send it.');
  expect(gapWords([])).toBe('');
});

test('what comes before the first kept frame is no gap', () => {
  const c = new Cutter(rate, 10_000, () => {});
  c.add(2048, new Float32Array(2048));
  c.add(9000, new Float32Array(2048));
  expect([c.frames, c.gaps.length]).toEqual([1048, 0]);
});
