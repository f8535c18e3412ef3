// Samples as 24-bit PCM in a WAV file (published: IBM and Microsoft, Multimedia
// Programming Interface and Data Specifications 1.0, 1991). The rounding lies 144 dB
// below full scale, beneath any microphone or converter, so that no dither is added;
// what a converter of up to 24 bits gave comes back exactly.

export const sampleBytes = 3;
export const headerBytes = 44;
const full = 2 ** 23;

/** Samples from -1 to 1 as 24-bit integers, the low byte first. What lies beyond is clipped; what is no number is 0. */
export function pcm24(samples: Float32Array): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(samples.length * sampleBytes);
  for (let i = 0, at = 0; i < samples.length; i++) {
    const v = Math.round(Math.max(-full, Math.min(samples[i]! * full, full - 1))) || 0;
    out[at++] = v & 0xff;
    out[at++] = (v >> 8) & 0xff;
    out[at++] = (v >> 16) & 0xff;
  }
  return out;
}

/** The 44 bytes before so many bytes of 24-bit sound; these must be even, or a byte 0 follows them. */
export function wavHeader(rate: number, channels: number, bytes: number): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(headerBytes), view = new DataView(out.buffer), frame = channels * sampleBytes;
  const word = (at: number, text: string) => [...text].forEach((c, i) => (out[at + i] = c.charCodeAt(0)));
  word(0, 'RIFF');
  view.setUint32(4, headerBytes - 8 + bytes + (bytes % 2), true);
  word(8, 'WAVEfmt ');
  view.setUint32(16, 16, true); // bytes of the format
  view.setUint16(20, 1, true); // PCM
  view.setUint16(22, channels, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * frame, true);
  view.setUint16(32, frame, true);
  view.setUint16(34, 8 * sampleBytes, true);
  word(36, 'data');
  view.setUint32(40, bytes, true);
  return out;
}

/** A decoded sound as a WAV file. */
export function wavOf(sound: Pick<AudioBuffer, 'length' | 'numberOfChannels' | 'sampleRate' | 'getChannelData'>): Blob {
  const channels = Array.from({ length: sound.numberOfChannels }, (_, c) => sound.getChannelData(c));
  const parts: Uint8Array<ArrayBuffer>[] = [];
  for (let from = 0; from < sound.length; from += sound.sampleRate) {
    const n = Math.min(sound.sampleRate, sound.length - from), woven = new Float32Array(n * channels.length);
    channels.forEach((samples, c) => {
      for (let i = 0; i < n; i++) woven[i * channels.length + c] = samples[from + i]!;
    });
    parts.push(pcm24(woven));
  }
  const bytes = sound.length * channels.length * sampleBytes;
  return new Blob([wavHeader(sound.sampleRate, channels.length, bytes), ...parts, new Uint8Array(bytes % 2)], { type: 'audio/wav' });
}
