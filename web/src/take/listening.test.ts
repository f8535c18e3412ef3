import { expect, test, vi } from 'vitest';
import type { Sheet, TakeCard } from '../lib/api';
import { Listening } from './listening.svelte';

const { sheet, sound } = vi.hoisted(() => ({ sheet: vi.fn(), sound: vi.fn() }));
vi.mock('../lib/api', () => ({ api: { sheet, sound } }));
vi.mock('../lib/room.svelte', () => ({ room: { say: () => {} } }));
vi.mock('../lib/clicks', () => ({ Clicks: class {} }));
vi.mock('./sound.svelte', () => ({ TakeSound: class { playing = false; problem = ''; setRate() {} close() {} stop() {} setLoop() {} } }));
vi.stubGlobal('AudioContext', class { state = 'running'; decodeAudioData = async (b: unknown) => b; close = async () => {}; });

const timeline = { seconds: 10 } as Sheet['timeline'];
const card = (bpm: number) => ({ id: 't', part: 'p', player: 'a', media_type: 'audio/wav', measured: { summary: { tempo_bpm: bpm } } }) as unknown as TakeCard;

test('a reference that could not be fetched is fetched again', async () => {
  const l = new Listening(card(96));
  sheet.mockResolvedValue({ timeline });
  sound.mockRejectedValueOnce(new Error('away')).mockResolvedValueOnce({ duration: 10 });
  expect(await l.prepare()).toBe(false);
  expect(l.problem).toBe('away');
  expect(await l.prepare()).toBe(true);
  expect(l.problem).toBe('');
});

test('a failure that comes late does not undo what was asked for after it', async () => {
  const l = new Listening(card(96));
  let fail = (_: Error) => {};
  sheet.mockReturnValueOnce(new Promise((_, no) => (fail = no))).mockResolvedValue({ timeline });
  sound.mockResolvedValue({ duration: 12 });
  const first = l.prepare();
  l.setRate(0.8);
  const second = l.prepare();
  fail(new Error('cut off'));
  expect([await first, await second]).toEqual([false, true]);
  expect(l.problem).toBe('');
});
