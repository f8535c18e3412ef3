// Builds a guide: one HTML file with the part, the walk, the remarks and the sound
// in it, which asks nobody for anything.
import atkinson from '@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-400-normal.woff2?url';
import atkinsonBold from '@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-600-normal.woff2?url';
import italic from '@fontsource-variable/literata/files/literata-latin-wght-italic.woff2?url';
import upright from '@fontsource-variable/literata/files/literata-latin-wght-normal.woff2?url';
import music from '../music.css?inline';
import { el } from '../dom';
import { extent, opening, partName, player } from '../facts';
import type { Job } from '../job';
import { chosen } from '../rings';
import type { Data } from './data';
import css from './guide.css?inline';
import { draw } from './layout';
import script from './run.ts?worker&url';
import { transport } from './transport';
import { walk } from './walk';

const files = [
  { family: 'Literata', style: 'normal', weight: '200 900', url: upright },
  { family: 'Literata', style: 'italic', weight: '200 900', url: italic },
  { family: 'Atkinson', style: 'normal', weight: '400', url: atkinson },
  { family: 'Atkinson', style: 'normal', weight: '600 700', url: atkinsonBold },
];

const base64 = (bytes: ArrayBuffer): string => btoa(Array.from(new Uint8Array(bytes), (b) => String.fromCharCode(b)).join(''));
const got = async (url: string): Promise<Response> => {
  const r = await fetch(url);
  if (!r.ok) throw new Error(`${url} is missing from the program`);
  return r;
};

async function fontFaces(): Promise<string> {
  const faces = await Promise.all(files.map(async (f) => {
    const data = base64(await (await got(f.url)).arrayBuffer());
    return `@font-face{font-family:'${f.family}';font-style:${f.style};font-weight:${f.weight};src:url(data:font/woff2;base64,${data}) format('woff2')}`;
  }));
  return faces.join('\n');
}

/** The policy of a guide: it may show and play what is in it, and reach for nothing. */
async function policy(script: string): Promise<string> {
  const hash = base64(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(script)));
  return `default-src 'none'; script-src 'sha256-${hash}'; style-src 'unsafe-inline'; font-src data:; media-src blob:; base-uri 'none'; form-action 'none'`;
}

/** Seconds and levels kept to what is heard: a tenth of a millisecond, a hundredth of a dB. */
const short = (_: string, value: unknown): unknown => (typeof value === 'number' ? Math.round(value * 1e4) / 1e4 : value);

const escaped = (text: string): string => text.replace(/[&<>"]/g, (c) => `&#${c.charCodeAt(0)};`);

/** The text of the guide; `into` is a place in the page to lay it out in. */
export async function guide(job: Job, into: HTMLElement): Promise<string> {
  const { rings, letters } = chosen(job.sheet);
  const wide = await draw(job, rings, 'wide', into), narrow = await draw(job, rings, 'narrow', into);
  const data: Data = { layouts: [wide.layout, narrow.layout], timeline: job.sheet.timeline, tones: job.tones ?? [], unit: job.sheet.timeline.unit };
  const run = `(()=>{${await (await got(script)).text()}\n})()`;
  const fonts = [await fontFaces(), ...new Set([...wide.fonts, ...narrow.fonts])].join('\n');
  const { title } = job.sheet.part;
  const head = el('header', '', el('h1', '', title),
    el('p', 'who', el('span', '', [partName(job.sheet, job.part), player(job.sheet)].filter(Boolean).join(' · ')), el('span', '', job.composer)),
    el('p', 'opening', `${opening(job.sheet)} · ${extent(job.sheet)}`));
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${escaped(await policy(run))}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(title)}</title>
<style>${fonts}
${music}
${css}</style>
</head>
<body>
${head.outerHTML}
<main>
<section class="page" aria-label="The marked part">${wide.svg}${narrow.svg}</section>
${walk(job, letters).outerHTML}
</main>
${transport(job.sheet).outerHTML}
<noscript><p class="note">This page plays and follows the music where scripts are allowed; all else stands here without them.</p></noscript>
<script type="application/json" id="data">${JSON.stringify(data, short).replace(/</g, '\\u003c')}</script>
<script>${run}</script>
</body>
</html>
`;
}
