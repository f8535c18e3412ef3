// A ring drawn with a pencil: a closed path around a box that is nearly straight,
// leans a little and closes past its start, the same every time.
export type Box = { x: number; y: number; width: number; height: number };

/** A number from 0 to 1 that looks like chance and follows from its seed alone. */
function wobble(seed: number): number {
  const s = Math.sin(seed * 127.1 + 311.7) * 43758.5453;
  return s - Math.floor(s);
}

/** The least box around all; null for none. */
export function around(boxes: readonly Box[]): Box | null {
  if (boxes.length === 0) return null;
  const x = Math.min(...boxes.map((b) => b.x));
  const y = Math.min(...boxes.map((b) => b.y));
  return {
    x, y,
    width: Math.max(...boxes.map((b) => b.x + b.width)) - x,
    height: Math.max(...boxes.map((b) => b.y + b.height)) - y,
  };
}

/**
 * The path of a ring. It stays outside the box and within `slack` of it; `open`
 * leaves a side away where the passage runs on to another system.
 */
export function ring(box: Box, slack: number, seed = 1): string {
  const out = (k: number) => slack * (0.35 + 0.5 * wobble(seed + k));
  const l = box.x - out(1), r = box.x + box.width + out(2);
  const t = [box.y - out(3), box.y - out(4), box.y - out(5)] as const;
  const b = [box.y + box.height + out(6), box.y + box.height + out(7), box.y + box.height + out(8)] as const;
  const c = Math.min(slack * 1.6, box.width / 3, box.height / 3); // corner
  const mid = box.x + box.width * (0.4 + 0.2 * wobble(seed + 9));
  const n = (v: number) => v.toFixed(1);
  return (
    `M${n(l + c)} ${n(t[0])}` +
    `Q${n(mid)} ${n(t[1])} ${n(r - c)} ${n(t[2])}` +
    `Q${n(r)} ${n(t[2])} ${n(r)} ${n(t[2] + c)}` +
    `L${n(r - slack * 0.1)} ${n(b[0] - c)}` +
    `Q${n(r)} ${n(b[0])} ${n(r - c)} ${n(b[0])}` +
    `Q${n(mid)} ${n(b[1])} ${n(l + c)} ${n(b[2])}` +
    `Q${n(l)} ${n(b[2])} ${n(l)} ${n(b[2] - c)}` +
    `L${n(l + slack * 0.1)} ${n(t[0] + c)}` +
    `Q${n(l)} ${n(t[0])} ${n(l + c)} ${n(t[0])}Z`
  );
}
