// A drone to tune to: a few harmonics, soft, on any note.
/** Levels of the harmonics, falling as in a soft brass tone (estimate). */
const harmonics = [0, 1, 0.5, 0.32, 0.18, 0.1, 0.06];
const loudness = 0.12, fade = 0.15; // of full scale; seconds (estimates)

const steps = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 } as const;

/** MIDI number of "Bb2"; null for no pitch. */
export function midi(name: string): number | null {
  const m = /^([A-G])(b*)(#*)(-?\d+)$/.exec(name);
  if (!m) return null;
  return (Number(m[4]) + 1) * 12 + steps[m[1] as keyof typeof steps] - m[2]!.length + m[3]!.length;
}

/** Frequency in Hz in equal temperament, for an A of so many Hz. */
export const frequency = (note: number, a4: number): number => a4 * 2 ** ((note - 69) / 12);

/** The notes a drone can have, as a key with so many sharps spells them. */
export function notes(low: number, high: number, fifths: number): string[] {
  const names = fifths < 0 ? 'C Db D Eb E F Gb G Ab A Bb B' : fifths > 0 ? 'C C# D D# E F F# G G# A A# B' : 'C C# D Eb E F F# G Ab A Bb B';
  const out: string[] = [];
  for (let n = low; n <= high; n++) out.push(`${names.split(' ')[n % 12]}${Math.floor(n / 12) - 1}`);
  return out;
}

export class Drone {
  note = $state('');
  /** Hz, to which the player tunes. */
  a4 = 440;
  private voice: { osc: OscillatorNode; gain: GainNode } | null = null;

  set(note: string, context: AudioContext): void {
    this.note = note;
    const now = context.currentTime;
    if (this.voice) {
      this.voice.gain.gain.setTargetAtTime(0, now, fade / 3);
      this.voice.osc.stop(now + 2 * fade);
      this.voice = null;
    }
    const n = midi(note);
    if (n === null) return;
    const osc = context.createOscillator(), gain = context.createGain();
    osc.setPeriodicWave(context.createPeriodicWave(new Float32Array(harmonics.length), Float32Array.from(harmonics)));
    osc.frequency.value = frequency(n, this.a4);
    gain.gain.setValueAtTime(0, now);
    gain.gain.setTargetAtTime(loudness, now, fade / 3);
    osc.connect(gain).connect(context.destination);
    osc.start(now);
    this.voice = { osc, gain };
  }
}
