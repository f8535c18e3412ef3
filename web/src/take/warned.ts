// Which warning of the page a finding of a take answers to.
import type { Finding } from '../lib/api';
import { places } from '../lib/bars';

/** Kinds of warnings that speak of what a kind of fault shows, the nearest first. */
const answers: Record<string, readonly string[]> = {
  'wrong-note': ['accidental', 'key-change', 'clef', 'clef-change', 'leap', 'key'],
  'missed-note': ['low', 'high', 'leap', 'soft-and-low'],
  'octave': ['leap', 'low', 'high', 'clef-change'],
  'split-note': ['leap', 'high', 'low'],
  'intonation': ['slide-trap', 'alternate', 'attachment', 'high', 'low'],
  'scoop': ['leap', 'slide-trap'],
  'short-rest': ['short-rest'],
  'rushed': ['dotted', 'syncopation', 'tuplet', 'tie-over-bar'],
  'tempo': ['tempo-change'],
  'tempo-drift': ['tempo-change'],
  'too-long': ['stands-out', 'articulation-change', 'prevailing'],
  'too-short': ['stands-out', 'articulation-change', 'prevailing'],
  'slow-attack': ['soft-and-low', 'low'],
  'slur-broken': ['articulation-change', 'prevailing'],
  'glissando': ['glissando-impossible', 'glissando'],
  'level': ['soft-and-low', 'loud-and-high', 'sudden', 'level'],
  'hairpin': ['hairpin'],
  'breath': ['no-room-to-breathe', 'breath', 'phrase'],
};

/** A fault over more bars than this is a stretch that is not there, not a note that went wrong (estimate). */
const few = 4;

/** The index in `page` of the warning that a finding answers to: of a kind that fits, in its bars; -1 for none. */
export function warned(f: Finding, page: readonly Finding[], numbers: Map<string, number[]>): number {
  const here = places(f, numbers);
  if (f.kind === 'missed-note' && here.some((r) => r.to - r.from >= few)) return -1;
  for (const kind of answers[f.kind] ?? []) {
    const i = page.findIndex((w) => w.kind === kind && places(w, numbers).some((a) => here.some((b) => a.from <= b.to && a.to >= b.from)));
    if (i >= 0) return i;
  }
  return -1;
}
