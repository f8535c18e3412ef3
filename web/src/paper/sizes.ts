// Sheets of paper in CSS pixels, 96 to the inch.
const mm = 96 / 25.4;

export type Sheet = { width: number; height: number };
export const sheets: Record<'a4' | 'letter', Sheet> = {
  a4: { width: 210 * mm, height: 297 * mm }, // published: ISO 216
  letter: { width: 8.5 * 96, height: 11 * 96 }, // published: ANSI/ASME Y14.1, size A, in inches
};

/** Margins of a sheet, and what head and foot take of it (estimates: what most printers leave, and some room for pencil). */
export const margin = { side: 14 * mm, top: 12 * mm, bottom: 11 * mm, foot: 10 * mm };
/** Between two staff lines: a staff of 7 mm, the usual of printed parts (common practice). */
export const space = (7 * mm) / 4;
