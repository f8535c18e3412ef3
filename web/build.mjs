// Builds the front end into dist/, everything gzipped, and prints what it weighs.
// The engraver's files go to dist/verovio/ as they are: `waterkey serve
// --verovio-dir` can put others in their place, as its license (LGPL) asks.
import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

const dist = 'dist';
for (const name of readdirSync(dist)) {
  if (name !== '.keep') rmSync(join(dist, name), { recursive: true });
}
execFileSync('npx', ['vite', 'build', '--logLevel', 'warn'], { stdio: 'inherit' });

const engraver = join(dist, 'verovio');
mkdirSync(engraver);
for (const name of ['verovio-module.mjs', 'verovio.mjs']) {
  cpSync(join('node_modules/verovio/dist', name), join(engraver, name));
}

// The recorded notes of the demo season (CC BY 3.0), for the program itself.
const notes = join(dist, 'notes');
mkdirSync(notes);
for (const name of readdirSync('node_modules/tonejs-instrument-trombone-mp3')) {
  if (name.endsWith('.mp3')) cpSync(join('node_modules/tonejs-instrument-trombone-mp3', name), join(notes, name));
}

const files = (dir) =>
  readdirSync(dir, { withFileTypes: true }).flatMap((e) => (e.isDirectory() ? files(join(dir, e.name)) : [join(dir, e.name)]));
const sum = { raw: 0, packed: 0 };
for (const file of files(dist).sort()) {
  if (!/\.(js|mjs|css|html|svg|txt)$/.test(file)) continue;
  const data = readFileSync(file);
  const packed = gzipSync(data, { level: 9 });
  packed[9] = 255; // no system named: equal input gives equal bytes
  writeFileSync(file + '.gz', packed);
  rmSync(file);
  const kB = (n) => (n / 1000).toFixed(1).padStart(8) + ' kB';
  console.log(kB(data.length), kB(packed.length), file);
  if (!file.startsWith(engraver)) {
    sum.raw += data.length;
    sum.packed += packed.length;
  }
}
console.log(`all but the engraver: ${(sum.raw / 1000).toFixed(1)} kB, gzipped ${(sum.packed / 1000).toFixed(1)} kB`);
console.log(`notes of the demo: ${(files(notes).reduce((s, f) => s + statSync(f).size, 0) / 1000).toFixed(1)} kB`);
const fonts = files(dist).filter((f) => f.endsWith('.woff2'));
console.log(`fonts: ${fonts.length} files, ${(fonts.reduce((s, f) => s + statSync(f).size, 0) / 1000).toFixed(1)} kB`);
