// Keeps the screen on while somebody practices, where the browser can.
type Lock = { release: () => Promise<void> };

export class Awake {
  private lock: Lock | null = null;
  private wanted = false;

  constructor() {
    // Browsers let go when the page is hidden.
    document.addEventListener('visibilitychange', this.again);
  }

  private again = (): void => {
    if (this.wanted && document.visibilityState === 'visible') void this.keep();
  };

  async keep(): Promise<void> {
    this.wanted = true;
    try {
      this.lock = (await (navigator as { wakeLock?: { request: (kind: 'screen') => Promise<Lock> } }).wakeLock?.request('screen')) ?? null;
    } catch {
      this.lock = null; // refused, as on a low battery: the screen dims as ever
    }
    if (!this.wanted) this.release();
  }

  release(): void {
    this.wanted = false;
    void this.lock?.release().catch(() => {});
    this.lock = null;
  }

  close(): void {
    this.release();
    document.removeEventListener('visibilitychange', this.again);
  }
}
