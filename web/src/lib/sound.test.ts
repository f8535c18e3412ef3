import { beforeEach, expect, test, vi } from 'vitest';
import type { SheetQuery, Timeline } from './api';
import { frequency } from './drone.svelte';
import { Sound } from './sound.svelte';

const sound = vi.hoisted(() => vi.fn());
vi.mock('./api', () => ({ api: { sound } }));
vi.mock('./clicks', () => ({ Clicks: class { countIn() { return 0; } run() {} stop() {} } }));

let started: { buffer: { duration: number }; from: number }[];
beforeEach(() => {
  started = [];
  sound.mockReset();
  vi.stubGlobal('AudioContext', class {
    currentTime = 0; state = 'running'; destination = {};
    decodeAudioData = async (b: unknown) => b;
    close = async () => void (this.state = 'closed');
    createBufferSource = () => {
      if (this.state === 'closed') throw new Error('start on a context that is closed');
      const node = { buffer: { duration: 0 }, connect: () => {}, disconnect: () => {}, stop: () => {}, start: (_: number, from: number) => started.push({ buffer: node.buffer, from }) };
      return node;
    };
  });
});
const timeline = (seconds: number) => ({ seconds }) as Timeline;
const query = (bpm: number) => ({ part: 'p', bpm }) as SheetQuery;

test('what could not be fetched is not played in the setting before, and asked for again', async () => {
  const s = new Sound();
  sound.mockResolvedValueOnce({ duration: 10 }).mockRejectedValueOnce(new Error('away')).mockResolvedValueOnce({ duration: 20 });
  await s.prepare(query(96), timeline(10));
  await s.prepare(query(48), timeline(20));
  expect([s.ready, s.problem]).toEqual([false, 'away']);
  s.play(15);
  expect(started).toEqual([]);
  await vi.waitFor(() => expect(s.ready).toBe(true));
  expect(s.problem).toBe('');
  s.play(15);
  expect(started.map((n) => [n.buffer.duration, n.from])).toEqual([[20, 15]]);
});

test('a sound that was ended does not start with what was on its way', async () => {
  const s = new Sound();
  let come = (_: unknown) => {};
  sound.mockReturnValueOnce(new Promise((r) => (come = r)));
  const coming = s.prepare(query(96), timeline(10));
  s.close();
  come({ duration: 10 });
  await coming;
  s.play(0);
  expect([s.ready, s.playing, started]).toEqual([false, false, []]);
});

test('a drone follows the player’s A (ISO 16 has 440; 443 is 11.8 cents above it)', () => {
  expect(frequency(69, 443)).toBe(443);
  expect(frequency(46, 440)).toBeCloseTo(116.541, 3); // B♭2 in equal temperament, published tables
  expect(1200 * Math.log2(frequency(46, 443) / frequency(46, 440))).toBeCloseTo(11.76, 2);
});
