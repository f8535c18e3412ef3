// Small helpers to draw in an engraving.
const ns = 'http://www.w3.org/2000/svg';

export type Attributes = Record<string, string | number | undefined>;

export function make<K extends keyof SVGElementTagNameMap>(name: K, attributes: Attributes = {}, text?: string): SVGElementTagNameMap[K] {
  const e = document.createElementNS(ns, name);
  for (const [key, value] of Object.entries(attributes)) if (value !== undefined) e.setAttribute(key, String(value));
  if (text !== undefined) e.textContent = text;
  return e;
}

export function put<K extends keyof SVGElementTagNameMap>(into: Element, name: K, attributes: Attributes = {}, text?: string): SVGElementTagNameMap[K] {
  return into.appendChild(make(name, attributes, text));
}

/** A breath mark as a pen makes it, its head at x and y, `size` high. */
export const comma = (x: number, y: number, size: number): string =>
  `M${x} ${y}c${0.3 * size} ${-0.12 * size} ${0.5 * size} ${0.12 * size} ${0.42 * size} ${0.42 * size}c${-0.06 * size} ${0.26 * size} ${-0.22 * size} ${0.44 * size} ${-0.46 * size} ${0.58 * size}c${0.14 * size} ${-0.2 * size} ${0.22 * size} ${-0.36 * size} ${0.2 * size} ${-0.5 * size}c${-0.16 * size} ${0.06 * size} ${-0.38 * size} ${-0.02 * size} ${-0.38 * size} ${-0.24 * size}c0 ${-0.14 * size} ${0.1 * size} ${-0.24 * size} ${0.22 * size} ${-0.26 * size}z`;
