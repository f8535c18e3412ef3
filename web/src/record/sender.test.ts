import { expect, test } from 'vitest';
import { Problem } from '../lib/api';
import { recorded, Sender, waiting, type Way } from './sender';

const data = (n: number) => Uint8Array.from([n, n]);

/** A program that keeps chunks, and fails as it is told: `faults` are thrown one after the other, null lets a call through. */
function program(faults: (Problem | null)[] = []) {
  const held = new Map<number, Uint8Array>(), calls: string[] = [];
  let joined = 0;
  const call = (name: string) => {
    calls.push(name);
    const fault = faults.shift();
    if (fault) throw fault;
  };
  const way: Way<string> = {
    async begin() {
      call('begin');
      return { held: [...held.keys()], joined: joined > 0 };
    },
    async put(n, bytes) {
      call(`put ${n}`);
      held.set(n, bytes);
    },
    async finish(chunks) {
      call('finish');
      for (let n = 0; n < chunks; n++) if (!held.has(n)) throw new Problem(409, `lacks chunk ${n}`);
      joined = chunks;
      return [...held.keys()].sort((a, b) => a - b).map((n) => held.get(n)![0]).join(',');
    },
  };
  return { way, held, calls };
}

function sender(way: Way<string>) {
  const said: string[] = [], waits: number[] = [];
  const s = new Sender(way, async (n) => data(n), (why) => said.at(-1) !== why && said.push(why), recorded, async (ms) => void waits.push(ms));
  return { s, said, waits };
}
const all = (s: Sender<string>, chunks: number) => {
  for (let n = 1; n < chunks; n++) s.offer(n);
  s.offer(0);
  s.end(chunks);
  return s.run();
};

test('chunks are sent while they are recorded, the header last', async () => {
  const p = program(), { s } = sender(p.way), done = s.run();
  for (const n of [1, 2]) {
    s.offer(n);
    await new Promise((r) => setTimeout(r));
  }
  expect(p.calls).toEqual(['begin', 'put 1', 'put 2']);
  s.offer(0);
  s.end(3);
  expect(await done).toBe('0,1,2');
  expect(p.calls.slice(3)).toEqual(['put 0', 'finish']);
});

test('while the program is away it waits longer and longer, and loses nothing', async () => {
  const away = new Problem(0, 'no answer');
  const p = program([null, null, ...Array<Problem>(8).fill(away)]), { s, said, waits } = sender(p.way);
  expect(await all(s, 4)).toBe('0,1,2,3');
  expect(waits).toEqual([250, 500, 1000, 2000, 4000, 8000, 8000, 8000]);
  expect(said).toEqual(['', expect.stringContaining('does not answer. What you recorded is kept in this browser'), '']);
  expect(p.calls.filter((c) => c === 'put 2')).toHaveLength(9);
});

test('what the program has already is not sent again', async () => {
  const p = program();
  p.held.set(1, data(1)).set(2, data(2));
  expect(await all(sender(p.way).s, 4)).toBe('0,1,2,3');
  expect(p.calls).toEqual(['begin', 'put 3', 'put 0', 'finish']);
  const again = program();
  await all(sender(again.way).s, 3);
  again.calls.length = 0;
  expect(await all(sender(again.way).s, 3)).toBe('0,1,2'); // joined before: asked for the take alone
  expect(again.calls).toEqual(['begin', 'finish']);
});

test('a chunk damaged on the way is sent again, but not for ever', async () => {
  const damaged = new Problem(422, 'bytes differ');
  const p = program([null, damaged, damaged]);
  expect(await all(sender(p.way).s, 2)).toBe('0,1');
  expect(p.calls).toEqual(['begin', 'put 1', 'put 1', 'put 1', 'put 0', 'finish']);
  await expect(all(sender(program([null, ...Array<Problem>(50).fill(damaged)]).way).s, 2)).rejects.toThrow('bytes differ');
});

test('a program that forgot the recording is sent all of it', async () => {
  const p = program([null, null, null, new Problem(404, 'no such upload')]), { s } = sender(p.way), put = p.way.put;
  p.way.put = async (n, bytes) => {
    if (p.calls.length === 3) p.held.clear();
    await put(n, bytes);
  };
  expect(await all(s, 4)).toBe('0,1,2,3');
  expect(p.calls.filter((c) => c === 'put 1')).toHaveLength(2);
});

test('what no waiting mends comes back as the program says it', async () => {
  for (const status of [409, 413, 415]) {
    await expect(all(sender(program([null, new Problem(status, 'because')]).way).s, 2)).rejects.toThrow('because');
    expect(waiting(new Problem(status, 'because'), recorded)).toBeNull();
  }
});

test('given up, it ends without an error', async () => {
  const p = program(), { s } = sender(p.way), done = s.run();
  s.offer(1);
  s.stop();
  expect(await done).toBeNull();
  expect(p.calls).not.toContain('finish');
});

test('each trouble has its words', () => {
  expect(waiting(new Problem(507, 'the disk is full: 3 MB are left'), recorded)).toBe('The disk is full: 3 MB are left. What you recorded is kept in this browser and goes on when there is room on the disk.');
  expect(waiting(new Problem(403, 'open the address'), recorded)).toContain('open the address that it printed in another tab');
  expect(waiting(new DOMException('', 'TimeoutError'), recorded)).toContain('does not answer');
  expect(waiting(new Error('a fault of the page'), recorded)).toBeNull();
});
