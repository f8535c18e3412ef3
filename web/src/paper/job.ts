// What the program asks the printing page for.
import type { Finding, Sheet } from '../lib/api';
import type { Tone } from './guide/tone';

export type Lesson = {
  day: string; // "Wednesday 25 November 2026"
  advice: { take: string; says: Finding[] } | null; // first about the newest take
  next: { day: string; focus: string; minutes: number; items: { minutes: number; label: string; turns?: string; what: string }[] } | null;
  takes: Record<string, string>; // by id: "24 November, 17:42"
};

export type Job = {
  sheet: Sheet;
  composer: string;
  part: string; // the part's name on the page
  score: string; // MusicXML with the ids that the sheet names
  paper: 'a4' | 'letter';
  contents: 'all' | 'part' | 'walk' | 'lesson';
  lanes: boolean; // the slide lane under each system, in place of labels over the notes
  lesson: Lesson | null; // what the sheet of a lesson says, and when the takes were that remarks speak of
  tones: Tone[]; // of the reference performance, for the guide
};
