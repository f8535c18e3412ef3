/** One channel as a WAV file of 16 bits (Microsoft and IBM, "Multimedia Programming Interface and Data Specifications 1.0", 1991). */
export function wav(samples: Float32Array, rate: number): ArrayBuffer {
  const header = 44, out = new ArrayBuffer(header + 2 * samples.length), v = new DataView(out);
  const text = (at: number, s: string) => [...s].forEach((c, i) => v.setUint8(at + i, c.charCodeAt(0)));
  text(0, 'RIFF');
  v.setUint32(4, out.byteLength - 8, true);
  text(8, 'WAVEfmt ');
  v.setUint32(16, 16, true);
  v.setUint16(20, 1, true); // PCM
  v.setUint16(22, 1, true); // channels
  v.setUint32(24, rate, true);
  v.setUint32(28, 2 * rate, true);
  v.setUint16(32, 2, true);
  v.setUint16(34, 16, true);
  text(36, 'data');
  v.setUint32(40, 2 * samples.length, true);
  samples.forEach((s, i) => v.setInt16(header + 2 * i, Math.round(Math.min(Math.max(s, -1), 1) * 32767), true));
  return out;
}
