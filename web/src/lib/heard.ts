// What listening to a take found: the document of `waterkey hear --json`.
import type { Finding } from './api';

/** Present of a note that was played or sounded as another. Seconds of the recording, cents, milliseconds, dB. */
export type Unsure = { onset_ms: number; late_ms: number; cents: number; length_ratio: number; level_db: number; brighter_pct: number; attack_ms: number };
export type Contour = {
  scoop_cents: number; scoop_s: number; fall_cents: number; fall_s: number; drift_cents: number; waver_cents: number; vibrato_hz: number; vibrato_cents: number;
};
export type Measures = {
  onset_s: number; offset_s: number; late_ms: number; late_steady_ms: number; cents: number; cents_own: number; length_ratio: number; level_db: number; split: boolean;
  local_bpm: number; centroid_hz: number; brighter_pct: number; attack_ms: number; contour: Contour; uncertainty: Unsure;
};
export type HeardNote = { id: string; bar: string; pass?: number; pitch: string; state: 'played' | 'missed' | 'other'; heard?: string } & Partial<Measures>;
export type HeardBreath = { after: string; bar: string; at_s: number; length_s: number; audible: boolean; rest: boolean };
export type HeardBar = { bar: string; pass?: number; at_s: number | null; bpm: number | null; late_ms: number | null; cents_own: number | null; level_db: number | null };
export type Recording = { seconds: number; sample_rate: number; peak_dbfs: number; loudness_lufs: number; noise_floor_dbfs: number; clipped: number };

export type Heard = {
  tuning_hz: number; tempo_bpm: number; speed_x: number; notes: HeardNote[]; extra: { onset_s: number; offset_s: number; pitch: string; bar: string }[];
  breaths: HeardBreath[]; bars: HeardBar[]; passages: { bars: string[]; mark: string; level_db: number; bpm: number; uncertainty_db: number }[];
  hairpins: { bars: string[]; grow: boolean; change_db: number; slope_db_per_bar: number; uncertainty_db: number }[];
  went: { kind: string; from: string; to: string; at_s: number }[]; over_noise_db: number | null; cut_start: boolean; cut_end: boolean;
  recording: Recording; findings: Finding[];
  /** Indexes into findings of what comes first. */
  first: number[];
};

/** A take that could not be held against the page. */
export type FailedTake = { failed: string; unlike?: boolean; recording?: Recording };

export const failed = (h: Heard | FailedTake): h is FailedTake => 'failed' in h;
/** A note that has measures. */
export const measured = (n: HeardNote): n is HeardNote & Measures => n.onset_s !== undefined;
