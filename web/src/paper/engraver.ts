// The engraver on the page itself: nobody waits at a screen here. It is loaded
// unmodified from /verovio/.
interface Toolkit {
  setOptions(options: Record<string, unknown>): void;
  loadData(data: string): boolean;
  renderToSVG(page: number): string;
  getLog(): string;
}

const from = '/verovio/';

async function start(): Promise<Toolkit> {
  const [module, esm] = await Promise.all([
    import(/* @vite-ignore */ `${from}verovio-module.mjs`) as Promise<{ default: () => Promise<unknown> }>,
    import(/* @vite-ignore */ `${from}verovio.mjs`) as Promise<{
      VerovioToolkit: new (m: unknown) => Toolkit;
      enableLogToBuffer: (on: boolean, m: unknown) => void;
    }>,
  ]);
  const wasm = await module.default();
  esm.enableLogToBuffer(true, wasm);
  return new esm.VerovioToolkit(wasm);
}

let toolkit: Promise<Toolkit> | null = null;

/** Starts the engraver, once. */
export const warm = (): Promise<Toolkit> => (toolkit ??= start());

/** Units of a drawing between two staff lines, and CSS pixels of the same at 100 percent: the engraver's own. */
const unitsPerSpace = 180, pixelsPerSpace = 18;
/** More than any part fills, in the engraver's pixels. */
const endless = 100_000;

/** How large and how wide music stands. */
export type Measure = { width: number; space: number }; // CSS pixels: of a system, and between two staff lines

/** Units of a drawing in a CSS pixel. */
export const unitOf = (m: Measure): number => unitsPerSpace / m.space;

/** Draws a score: on one endless line, or with systems where the score says. */
export async function engrave(xml: string, m: Measure, line: 'endless' | 'broken'): Promise<string> {
  const tk = await warm();
  const scale = (100 * m.space) / pixelsPerSpace;
  tk.setOptions({
    pageWidth: line === 'endless' ? endless : Math.round((100 * m.width) / scale),
    pageHeight: 60_000,
    adjustPageHeight: true,
    adjustPageWidth: line === 'endless',
    scale,
    breaks: line === 'endless' ? 'none' : 'line',
    minLastJustification: 0, // the last system is cast off to be as full as the others
    header: 'none', footer: 'none', mnumInterval: 0,
    svgViewBox: true,
    pageMarginLeft: 0, pageMarginRight: 0, pageMarginTop: 50, pageMarginBottom: 50,
    xmlIdSeed: 1,
    font: 'Leipzig',
  });
  if (!tk.loadData(xml)) throw new Error(`The engraver could not read the page. ${tk.getLog()}`);
  return tk.renderToSVG(1);
}
