// The engraver in a worker of its own, so that the page stays quick. It is loaded
// unmodified from /verovio/ when the program starts.
export type Ask = {
  id: number;
  xml: string;
  width: number; // of the drawing in CSS pixels
  scale: number; // percent
  first: boolean; // the first system alone
};
export type Answer = { id: number; svg?: string; error?: string };

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

const ready = start();

/** The narrowest page that holds a clef, a key and a bar of quick notes, in CSS pixels (estimate). */
const narrowest = 300;
/** Heights in the engraver's units: more than any part fills, and less than two systems. */
const tall = 60000, oneSystem = 120;

function engrave(tk: Toolkit, ask: Ask): Answer {
  tk.setOptions({
    pageWidth: Math.round((Math.max(ask.width, narrowest) * 100) / ask.scale),
    pageHeight: ask.first ? oneSystem : tall,
    adjustPageHeight: true,
    scale: ask.scale,
    breaks: 'auto',
    breaksNoWidow: true,
    header: 'none',
    footer: 'none',
    svgViewBox: true,
    pageMarginLeft: ask.first ? 20 : 50,
    pageMarginRight: 20,
    pageMarginTop: 20,
    pageMarginBottom: 20,
    justifyVertically: false,
    xmlIdSeed: 1,
    font: 'Leipzig',
  });
  if (!tk.loadData(ask.xml)) return { id: ask.id, error: `The engraver could not read the page. ${tk.getLog()}` };
  return { id: ask.id, svg: tk.renderToSVG(1) };
}

self.onmessage = async (event: MessageEvent<Ask>) => {
  try {
    self.postMessage(engrave(await ready, event.data));
  } catch (error) {
    self.postMessage({ id: event.data.id, error: `The engraver failed: ${String(error)}` } satisfies Answer);
  }
};
