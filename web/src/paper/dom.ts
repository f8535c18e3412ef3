/** An element with a class and, for text, its content. */
export function el<K extends keyof HTMLElementTagNameMap>(name: K, className = '', ...content: (Node | string)[]): HTMLElementTagNameMap[K] {
  const e = document.createElement(name);
  if (className) e.className = className;
  e.append(...content);
  return e;
}
