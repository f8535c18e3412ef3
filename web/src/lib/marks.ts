// What the coach wrote, by the note or bar it stands at.
import type { Mark, Sheet } from './api';

export type Written = {
  pins: Map<string, Mark>;
  avoided: Map<string, Mark[]>;
  breaths: Map<string, Mark>;
  remarks: Mark[];
};

export function written(sheet: Sheet): Written {
  const w: Written = { pins: new Map(), avoided: new Map(), breaths: new Map(), remarks: [] };
  for (const m of sheet.marks ?? []) {
    if (m.position?.avoid) w.avoided.set(m.position.where, [...(w.avoided.get(m.position.where) ?? []), m]);
    else if (m.position) w.pins.set(m.position.where, m);
    else if (m.breath) w.breaths.set(m.breath.after, m);
    else if (m.remark) w.remarks.push(m);
  }
  return w;
}

/** "Ines" or "everybody": whose mark it is that stands here. */
export const whose = (m: Mark, sheet: Sheet): string => (m.player ? (sheet.player?.name ?? 'this player') : 'everybody');
