// What a guide does when it is opened: plays, follows, slows down.
import type { Data } from './data';
import { Player, type Stretch } from './player';
import { View } from './view';

const data = JSON.parse(document.getElementById('data')!.textContent!) as Data;
const form = document.querySelector<HTMLFormElement>('.transport form')!;
const button = document.querySelector<HTMLButtonElement>('.play')!, status = document.querySelector('.status')!;
const audio = document.querySelector('audio')!;
const bars = data.timeline.bars ?? [];
const field = (name: string): HTMLInputElement => form.elements.namedItem(name) as HTMLInputElement;
const player = new Player(data, audio), view = new View(data, (bar) => start(bar));
let playing = false;

/** The turn of a bar with a printed number: its place in the performance, -1 for none. */
const turn = (printed: string): number => bars.findIndex((b) => b.bar === printed.trim());

function stretch(): Stretch {
  const from = Math.max(turn(field('from').value), 0), to = bars.findLastIndex((b) => b.bar === field('to').value.trim());
  const end = to >= from ? (bars[to + 1]?.start_s ?? data.timeline.seconds) : data.timeline.seconds;
  return {
    from: bars[from]?.start_s ?? 0, to: end, count: field('count').checked, click: field('click').checked,
    tempo: Number(field('tempo').value) / Number(field('tempo').dataset.own),
  };
}

/** What the fields say that the part does not have. */
function complaint(): string {
  for (const name of ['from', 'to']) {
    const value = field(name).value.trim();
    if (value && turn(value) < 0) return `There is no bar ${value}; the part goes from ${bars[0]?.bar} to ${bars.at(-1)?.bar}.`;
  }
  return '';
}

async function play(): Promise<void> {
  status.textContent = complaint();
  if (status.textContent) return;
  playing = true;
  button.textContent = 'Stop';
  try {
    if (!(await player.prepare(stretch())) || !playing) return;
    audio.currentTime = 0;
    await audio.play();
    requestAnimationFrame(follow);
  } catch (e) {
    stop();
    status.textContent = `The sound did not start; press Play again. (${e instanceof Error ? e.message : String(e)})`;
  }
}

function stop(): void {
  playing = false;
  audio.pause();
  button.textContent = 'Play';
  view.show(null);
}

function follow(): void {
  if (!playing) return;
  view.show(player.now());
  requestAnimationFrame(follow);
}

/** Chooses bars (indexes): they are shaded, and played next. */
function start(from: number, to = from): void {
  const printed = (index: number) => bars.find((b) => b.index === index)?.bar ?? '';
  field('from').value = printed(from);
  field('to').value = to > from || field('to').value ? printed(to) : '';
  if (from === to) field('to').value = '';
  view.choose(from, to);
  changed();
}

/** Goes on with what the fields say now, or makes it ready. */
function changed(): void {
  document.querySelector('.tempo output')!.textContent = field('tempo').value;
  if (playing) void play();
  else if (!complaint()) void player.prepare(stretch());
}

button.addEventListener('click', () => (playing ? stop() : void play()));
form.addEventListener('submit', (e) => e.preventDefault());
form.addEventListener('change', changed);
field('tempo').addEventListener('input', () => (document.querySelector('.tempo output')!.textContent = field('tempo').value));
audio.addEventListener('ended', () => {
  if (playing && field('loop').checked) void play();
  else stop();
});

const finders = [...document.querySelectorAll<HTMLButtonElement>('button.bars')];
for (const b of finders) {
  b.setAttribute('aria-pressed', 'false');
  b.addEventListener('click', () => {
    for (const other of finders) other.setAttribute('aria-pressed', String(other === b));
    start(Number(b.dataset.from), Number(b.dataset.to));
  });
}

document.addEventListener('keydown', (e) => {
  const at = e.target as Element;
  if (e.ctrlKey || e.metaKey || e.altKey || at.closest('input, button, a')) return;
  const from = Math.max(turn(field('from').value), 0);
  if (e.key === ' ') button.click();
  else if (e.key === 'ArrowRight') start(bars[Math.min(from + 1, bars.length - 1)]!.index);
  else if (e.key === 'ArrowLeft') start(bars[Math.max(from - 1, 0)]!.index);
  else return;
  e.preventDefault();
});
void player.prepare(stretch());
