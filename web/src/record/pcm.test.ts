import { expect, test } from 'vitest';
import { Cutter, type Chunk } from './chunks';
import { contentDigest, fileHash } from './digest';
import { headerBytes, pcm24, wavHeader, wavOf } from './pcm';

const hex = (bytes: Uint8Array) => [...bytes].map((b) => b.toString(16).padStart(2, '0')).join('');
const bytesOf = async (blob: Blob) => new Uint8Array(await blob.arrayBuffer());

test('samples and header are those of the module wave of Python 3.11 (reference)', () => {
  // wave.open(...): 1 channel, 3 bytes, 48000 Hz; 0, 0.5, -1, the largest, -1/2^23, 1/2^23.
  const reference = '524946463600000057415645666d7420100000000100010080bb000080320200030018006461746112000000000000000040000080ffff7fffffff010000';
  const sound = pcm24(Float32Array.from([0, 0.5, -1, 1 - 2 ** -23, -(2 ** -23), 2 ** -23]));
  expect(hex(wavHeader(48000, 1, sound.length)) + hex(sound)).toBe(reference);
});

test('what lies beyond full scale is clipped, and what is no number is silence', () => {
  expect(hex(pcm24(Float32Array.from([1, 2, -1.5, Infinity, NaN])))).toBe('ffff7f' + 'ffff7f' + '000080' + 'ffff7f' + '000000');
});

test('every value of a 16-bit converter comes back', () => {
  const all = Float32Array.from({ length: 65536 }, (_, i) => (i - 32768) / 32768), out = pcm24(all);
  for (let i = 0; i < all.length; i++) {
    if (out[3 * i] !== 0 || ((out[3 * i + 1]! | (out[3 * i + 2]! << 8)) << 16) >> 16 !== i - 32768) throw new Error(`${i - 32768} became ${hex(out.slice(3 * i, 3 * i + 3))}`);
  }
});

test('a decoded sound of two channels is woven; an odd length gets its byte', async () => {
  const channels = [Float32Array.from([0.5, 0]), Float32Array.from([-1, 2 ** -23])];
  const two = { length: 2, numberOfChannels: 2, sampleRate: 44100, getChannelData: (c: number) => channels[c]! as Float32Array<ArrayBuffer> };
  const file = await bytesOf(wavOf(two));
  expect(hex(file.slice(headerBytes))).toBe('000040' + '000080' + '000000' + '010000');
  const one = await bytesOf(wavOf({ ...two, length: 1, numberOfChannels: 1 }));
  expect(one.length).toBe(headerBytes + 4);
  expect(new DataView(one.buffer).getUint32(4, true)).toBe(one.length - 8);
  expect(new DataView(one.buffer).getUint32(40, true)).toBe(3);
});

/** Frame i of the microphone, told apart from all others. */
const frames = (from: number, n: number) => Float32Array.from({ length: n }, (_, i) => (from + i + 1) / 2 ** 23);
const numbers = (chunks: Chunk[]) => chunks.flatMap((c) => Array.from({ length: c.bytes.length / 3 }, (_, i) => c.bytes[3 * i]! | (c.bytes[3 * i + 1]! << 8) | (c.bytes[3 * i + 2]! << 16)));

test('chunks hold every frame from the start on, in order, and an even number of bytes', () => {
  for (const start of [0, 100, 128, 333]) {
    const chunks: Chunk[] = [], cutter = new Cutter(1000, start, (c) => chunks.push(c));
    for (let first = 0; first < 4096; first += 128) {
      cutter.add(first, frames(first, 128));
      if (first === 1280) cutter.flush(); // the page was hidden
    }
    cutter.flush();
    expect(chunks.map((c) => c.n)).toEqual(chunks.map((_, i) => i + 1));
    expect(chunks.every((c) => c.bytes.length % 2 === 0)).toBe(true);
    const want = Array.from({ length: (4096 - start) & ~1 }, (_, i) => start + i + 1);
    expect(numbers(chunks)).toEqual(want);
  }
});

test('digests are those of the published examples (reference)', async () => {
  // RFC 9530 (2024), appendix B.1, and FIPS 180-4 (2015), SHA-256 of "abc".
  const text = (s: string) => new TextEncoder().encode(s);
  expect(await contentDigest(text('{"hello": "world"}\n'))).toBe('sha-256=:RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg=:');
  expect(await fileHash(text('abc'))).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
});
