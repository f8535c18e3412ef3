// Where the browser is: the path and what follows the question mark. Going back
// and forth works as everywhere.
class Route {
  path = $state(location.pathname);
  query = $state.raw(new URLSearchParams(location.search));

  constructor() {
    addEventListener('popstate', () => this.read());
  }

  private read(): void {
    this.path = location.pathname;
    this.query = new URLSearchParams(location.search);
  }

  go(to: string): void {
    history.pushState(null, '', to);
    this.read();
    scrollTo(0, 0);
  }

  /** Changes the address without a step to go back to. */
  replace(to: string): void {
    history.replaceState(null, '', to);
    this.read();
  }
}

export const route = new Route();

/** Follows links inside the program without loading the page anew. */
export function follow(event: MouseEvent): void {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const link = (event.target as Element).closest('a');
  if (!link || link.origin !== location.origin || link.target || link.hasAttribute('download')) return;
  if (/^\/(api|licenses|verovio)\//.test(link.pathname)) return;
  event.preventDefault();
  route.go(link.pathname + link.search);
}
