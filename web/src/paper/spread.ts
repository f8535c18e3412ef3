// Systems on pages: as many as a page holds, then set apart evenly.
export type Block = { top: number; bottom: number }; // what a system covers, heights growing downwards
export type Placed = { page: number; shift: number }; // shift: how far down a system moves from where it was drawn

/** Room between systems: the least, and the most that an even page takes; all in the unit of the blocks. */
export type Gaps = { least: number; most: number };

/** Places blocks on pages of so much height, the first page's and that of all others. */
export function spread(blocks: readonly Block[], first: number, others: number, gaps: Gaps): Placed[] {
  const pages = evened(filled(blocks, first, others, gaps.least), blocks, first, others, gaps.least);
  const out: Placed[] = [];
  let usual = gaps.most; // the gap of the page before: a last page goes on like it
  pages.forEach((page, p) => {
    const room = p === 0 ? first : others;
    const covered = page.reduce((sum, i) => sum + blocks[i]!.bottom - blocks[i]!.top, 0);
    const even = page.length > 1 ? (room - covered) / (page.length - 1) : 0;
    const gap = Math.max(Math.min(even, usual), gaps.least);
    if (p < pages.length - 1) usual = gap;
    let y = 0;
    for (const i of page) {
      out.push({ page: p, shift: y - blocks[i]!.top });
      y += blocks[i]!.bottom - blocks[i]!.top + gap;
    }
  });
  return out;
}

function filled(blocks: readonly Block[], first: number, others: number, gap: number): number[][] {
  const pages: number[][] = [[]];
  let free = first;
  blocks.forEach((b, i) => {
    const page = pages.at(-1)!, height = b.bottom - b.top;
    if (page.length > 0 && height + gap > free) {
      pages.push([i]);
      free = others - height;
      return;
    }
    free -= height + (page.length > 0 ? gap : 0);
    page.push(i);
  });
  return pages;
}

/** A last page with less than this share of the systems of the one before takes some over (estimate). */
const lonely = 0.35;

/** Keeps a last page from holding a system or two. */
function evened(pages: number[][], blocks: readonly Block[], first: number, others: number, gap: number): number[][] {
  const last = pages.at(-1)!, before = pages.at(-2);
  if (!before || last.length >= before.length * lonely) return pages;
  const height = (page: number[]) => page.reduce((sum, i) => sum + blocks[i]!.bottom - blocks[i]!.top + gap, -gap);
  const room = pages.length === 1 ? first : others;
  while (last.length < before.length * lonely && height([before.at(-1)!, ...last]) <= room) last.unshift(before.pop()!);
  return pages;
}
