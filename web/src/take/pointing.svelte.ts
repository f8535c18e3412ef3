// Which note's numbers are shown: of the one pointed at, else of the one that was
// tapped or focused. The pointer may go over to the panel before it is taken away.

/** Milliseconds that a panel stays after the pointer left (estimate: time to reach it). */
const grace = 280;
/** Milliseconds of rest before a note counts as pointed at, so that crossing the page stays quiet (estimate). */
const rest = 90;

export class Pointing {
  over = $state('');
  kept = $state('');
  private timer = 0;

  get shown(): string {
    return this.over || this.kept;
  }

  enter(id: string): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => (this.over = id), rest);
  }
  leave(): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => (this.over = ''), grace);
  }
  hold(): void {
    clearTimeout(this.timer);
  }
  keep(id: string): void {
    clearTimeout(this.timer);
    [this.kept, this.over] = [id, ''];
  }
  close(): void {
    clearTimeout(this.timer);
    [this.kept, this.over] = ['', ''];
  }
}
