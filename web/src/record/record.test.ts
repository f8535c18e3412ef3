import { expect, test, vi } from 'vitest';
import { refused } from './file';
import { keys } from './keys';
import { dbfs, Level, levelWord, place, roomWords, silence } from './level';
import { disobeyed, why } from './mic';
import type { Phase } from './recorder.svelte';
import { type Kept, type Shelf, Tape } from './shelf';
import { fileName, level, moment, size, withZone } from './words';

vi.mock('../lib/room.svelte', () => ({ room: { say: () => {} } }));

const rate = 48000, block = 2048;
const sine = (peak: number, n = block) => Float32Array.from({ length: n }, (_, i) => peak * Math.sin((2 * Math.PI * 12 * i) / n));
const hear = (l: Level, peak: number, seconds: number) => {
  for (let t = 0; t < seconds; t += block / rate) l.add(sine(peak), rate);
};

test('levels of a sine: peak, and root mean square 3.01 dB below (closed form)', () => {
  const l = new Level();
  hear(l, 0.5, 2);
  expect(l.peak).toBeCloseTo(20 * Math.log10(0.5), 2);
  expect(l.room).toBeCloseTo(20 * Math.log10(0.5) - 3.01, 2);
  expect([dbfs(1), dbfs(0), dbfs(0.1)]).toEqual([0, silence, -20]);
});

test('the peak is held for two seconds, then falls; the room is the soft part', () => {
  const l = new Level();
  hear(l, 0.5, 0.2);
  hear(l, 0.001, 1.5);
  expect(l.held).toBeCloseTo(-6.02, 1);
  hear(l, 0.001, 1.5);
  expect(l.held).toBeLessThan(-15);
  expect(l.held).toBeGreaterThan(-40);
  expect(l.room).toBeCloseTo(-63, 0);
  expect(l.loudest).toBeCloseTo(-6.02, 1);
  l.reset();
  expect(l.loudest).toBe(silence);
});

test('words of levels and rooms', () => {
  expect([-20.1, -20, -3, -2.9, -0.01, dbfs(32767 / 32768), 0].map(levelWord)).toEqual(['too soft', 'good', 'good', 'close to clipping', 'close to clipping', 'clipped', 'clipped']);
  expect([-90, -60, -40, -20, -12, -6, 0, 3].map((v) => Math.round(60 * place(v)))).toEqual([0, 0, 20, 40, 48, 54, 60, 60]);
  expect(roomWords(null)).toBe('');
  expect(roomWords(silence)).toContain('switched off');
  expect(roomWords(-63)).toBe('The room is quiet (−63 dBFS).');
  expect(roomWords(-55)).toContain('soft enough');
  expect(roomWords(-35)).toContain('noisy');
});

test('each fault of the microphone has its own words', () => {
  const said = ['NotAllowedError', 'NotFoundError', 'NotReadableError', 'OverconstrainedError', 'TypeError'].map((name) => why(new DOMException('x', name)));
  expect(new Set(said).size).toBe(5);
  expect(said[0]).toContain('may not use');
  expect(said[1]).toContain('No microphone');
  expect(said[2]).toContain('busy');
  expect(disobeyed({ echoCancellation: false, autoGainControl: true, noiseSuppression: true })).toEqual(['automatic gain', 'noise suppression']);
  expect(disobeyed({ echoCancellation: false, channelCount: 2 })).toEqual([]);
});

test('times and sizes', () => {
  const now = new Date(2026, 10, 25, 18, 0), at = (d: number, h: number, m: number) => new Date(2026, 10, d, h, m).toISOString();
  expect([moment(at(25, 17, 42), now), moment(at(24, 9, 5), now), moment(at(2, 20, 0), now), moment(new Date(2025, 0, 3, 7, 7).toISOString(), now)]).toEqual(['today 17:42', 'yesterday 9:05', '2 November, 20:00', '3 January 2025, 7:07']);
  expect(new Date(withZone(now)).getTime()).toBe(now.getTime());
  expect(withZone(now)).toMatch(/^2026-11-25T18:00:00[+-]\d\d:\d\d$/);
  expect(fileName('Harbor Parade', 'Ines', now)).toBe('Harbor Parade, Ines, 2026-11-25 18.00.wav');
  expect([size(2 ** 31), size(1.5 * 2 ** 20), level(-4.25)]).toEqual(['2 GiB', '1.5 MiB', '−4.3 dBFS']);
});

test('a file is refused before it is sent', () => {
  expect(refused({ name: 'a.wav', size: 0 }, 10)).toContain('empty');
  expect(refused({ name: 'a.mov', size: 3 * 2 ** 20 }, 2 ** 20)).toBe('a.mov has 3.0 MiB; at most 1.0 MiB are taken. Cut it to the excerpt, or send the sound without the picture.');
  expect(refused({ name: 'a.wav', size: 10 }, 10)).toBe('');
});

test('Space starts and stops, Esc stops the count-in', () => {
  let phase: Phase = 'ready';
  const acts: string[] = [], handle = keys({ phase: () => phase, press: () => acts.push('press'), cancel: () => acts.push('cancel') });
  const on = (inside: string) => ({ closest: (s: string) => (s.split(', ').includes(inside) ? {} : null) });
  const key = (k: string, target: unknown = on('')) => handle({ key: k, target, preventDefault() {} } as unknown as KeyboardEvent);
  key(' '), key('Escape'), key(' ', on('select')), key(' ', on('button'));
  expect(acts).toEqual(['press']);
  phase = 'counting';
  key(' '), key('Escape');
  expect(acts).toEqual(['press', 'cancel']);
  phase = 'recording';
  key(' ', on('select')), key('Escape'), key(' ', on('.big'));
  expect(acts).toEqual(['press', 'cancel', 'press']);
});

const kept: Kept = { id: 'take-1', part: 'p', player: 'q', title: 'T', name: 'N', rate, bpm: 0, recorded: '', fileName: '', stopped: false, chunks: 0, bytes: 0 };

/** A shelf with room for so many chunks. */
function shelf(room: number) {
  const chunks = new Map<string, Uint8Array<ArrayBuffer>>(), lines = new Map<string, Kept>();
  const s: Shelf = {
    async note(k) { lines.set(k.id, k); },
    async add(k, n, bytes) {
      if (chunks.size >= room) throw new DOMException('full', 'QuotaExceededError');
      chunks.set(`${k.id} ${n}`, bytes);
      lines.set(k.id, k);
    },
    chunk: async (id, n) => chunks.get(`${id} ${n}`),
    all: async () => [...lines.values()],
    async remove(k) { lines.delete(k.id); },
  };
  return { s, lines };
}
const second = (n: number) => new Uint8Array(6).fill(n);

test('a tape taken up again after a crash is whole up to its last chunk', async () => {
  const { s, lines } = shelf(10), tape = new Tape(kept, s);
  await Promise.all([1, 2, 3].map((n) => tape.add(n, second(n))));
  expect(lines.get('take-1')).toMatchObject({ chunks: 3, bytes: 18, stopped: false });
  const found = new Tape((await s.all())[0]!, s), file = new Uint8Array(await (await found.file()).arrayBuffer());
  expect([...file.slice(44)]).toEqual([1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 3, 3]);
  expect(new DataView(file.buffer).getUint32(40, true)).toBe(18);
});

test('a full browser keeps the rest in memory, and says so', async () => {
  const { s, lines } = shelf(1), tape = new Tape(kept, s);
  for (const n of [1, 2, 3]) await tape.add(n, second(n));
  await tape.stop();
  expect(tape.trouble).toContain('no room left');
  expect((await tape.file()).size).toBe(44 + 18);
  expect([...(await tape.chunk(3))]).toEqual([3, 3, 3, 3, 3, 3]);
  expect(lines.get('take-1')?.chunks).toBe(1); // what is found after a crash now
  const none = new Tape(kept, null);
  await none.add(1, second(1));
  expect([none.trouble !== '', [...(await none.chunk(1))]]).toEqual([true, [1, 1, 1, 1, 1, 1]]);
});
