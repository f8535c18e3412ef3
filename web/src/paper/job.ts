// What the program asks the printing page for.
import type { Sheet } from '../lib/api';
import type { Tone } from './guide/tone';

export type Job = {
  sheet: Sheet;
  composer: string;
  part: string; // the part's name on the page
  score: string; // MusicXML with the ids that the sheet names
  paper: 'a4' | 'letter';
  contents: 'all' | 'part' | 'walk';
  lanes: boolean; // the slide lane under each system, in place of labels over the notes
  tones: Tone[]; // of the reference performance, for the guide
};
