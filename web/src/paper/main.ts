// The page that the program prints from: it hands in a job, this lays it out.
import '../app.css';
import './music.css';
import './paper.css';
import { warm } from './engraver';
import { guide } from './guide/build';
import { render } from './guide/render';
import type { Job } from './job';
import { feet, partPages } from './pages';
import { chosen } from './rings';
import { sheets } from './sizes';
import { walkPages } from './walkpages';

const fonts = ['400 16px Literata', 'italic 400 16px Literata', '600 16px Literata', '400 16px Atkinson', '600 16px Atkinson'];
/** Letters of every font file that a part may need, to have them all here before anything is measured. */
const letters = 'aÄ♭♯ő';

async function ready(): Promise<void> {
  await Promise.all([warm(), ...fonts.map((f) => document.fonts.load(f, letters))]);
}

const fetched = async (url: string): Promise<Job> => (await fetch(url)).json() as Promise<Job>;

/** Lays a job out on sheets of paper; how many there are. */
async function sheetsOf(url: string): Promise<number> {
  const job = await fetched(url);
  await ready();
  const into = document.querySelector<HTMLElement>('#paper')!;
  into.replaceChildren();
  paperSize(job);
  document.title = job.sheet.part.title;
  const { rings, letters: named } = chosen(job.sheet);
  const engraved = job.contents === 'all' || job.contents === 'part';
  if (engraved) await partPages(job, rings, into);
  if (job.contents !== 'part') walkPages(job, engraved ? named : new Map(), into);
  const all = [...into.children];
  feet(job, all);
  return all.length;
}

function paperSize(job: Job): void {
  const { width, height } = sheets[job.paper];
  let rule = document.querySelector('style#size');
  if (!rule) document.head.append((rule = Object.assign(document.createElement('style'), { id: 'size' })));
  rule.textContent = `@page { size: ${width}px ${height}px; margin: 0 }`;
}

/** The guide to a part as the text of one file. */
async function guideOf(url: string): Promise<string> {
  const job = await fetched(url);
  await ready();
  const into = document.querySelector<HTMLElement>('#paper')!;
  into.replaceChildren();
  return guide(job, into);
}

/** The sound of a guide at its own tempo as single-precision samples in base64, to be compared with the program's. */
async function samplesOf(url: string, rate: number): Promise<string> {
  const samples = (await render((await fetched(url)).tones, rate, 440))!;
  const bytes = new Uint8Array(samples.buffer), step = 0x8000;
  let text = '';
  for (let i = 0; i < bytes.length; i += step) text += String.fromCharCode(...bytes.subarray(i, i + step));
  return btoa(text);
}

Object.assign(window, { paper: { sheets: sheetsOf, guide: guideOf, samples: samplesOf } });
