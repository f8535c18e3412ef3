// A sheet: one part before one player, with what is tried on it. Everything that is
// shown follows from the query; answers that come late are dropped.
import { api, type Mark, type MarkBody, Problem, type Sheet, type SheetQuery } from './api';
import { forEngraver } from './engraver';
import { room } from './room.svelte';

export class Desk {
  sheet = $state.raw<Sheet | null>(null);
  score = $state.raw('');
  problem = $state('');
  busy = $state(false);
  private turn = 0;
  private timer = 0;
  private query: SheetQuery | null = null;
  private closed = false;

  /** Asks for a sheet; while a control is still moving, a little later. */
  ask(query: SheetQuery, later = 0): void {
    const other = query.part !== this.query?.part;
    this.query = query;
    clearTimeout(this.timer);
    if (other) {
      this.sheet = null;
      this.score = '';
      void this.loadScore(query);
    }
    this.busy = true;
    const turn = ++this.turn;
    this.timer = window.setTimeout(() => void this.load(query, turn), later);
  }

  private async loadScore(query: SheetQuery): Promise<void> {
    try {
      const score = await api.score({ part: query.part });
      if (query.part === this.query?.part) this.score = forEngraver(score);
    } catch (e) {
      if (query.part === this.query?.part) this.fail(e);
    }
  }

  private async load(query: SheetQuery, turn: number): Promise<void> {
    try {
      const sheet = await api.sheet(query);
      if (turn !== this.turn) return;
      this.sheet = sheet;
      this.problem = '';
    } catch (e) {
      if (turn === this.turn) this.fail(e);
    }
    if (turn === this.turn) this.busy = false;
  }

  /** The screen is left: what is still on its way tells nothing. */
  close(): void {
    this.closed = true;
    this.turn++;
    clearTimeout(this.timer);
  }

  private fail(e: unknown): void {
    if (this.closed) return;
    this.problem = e instanceof Problem ? e.message : String(e);
    room.say(this.problem);
  }

  /** Makes a change and loads what follows from it. */
  private async change(what: () => Promise<unknown>, says: string): Promise<boolean> {
    try {
      await what();
      room.say(says);
      this.problem = '';
    } catch (e) {
      this.fail(e);
      if (this.query && !this.closed) this.ask(this.query);
      return false;
    }
    if (this.query && !this.closed) {
      const turn = ++this.turn;
      clearTimeout(this.timer);
      this.busy = true;
      await this.load(this.query, turn);
    }
    return true;
  }

  private get where(): { part: string; player: string } {
    return { part: this.query!.part, player: this.query!.player ?? '' };
  }

  set(mark: Omit<MarkBody, 'part' | 'player'>, says: string): Promise<boolean> {
    return this.change(() => api.setMark({ ...mark, ...this.where }, this.query?.instrument ?? ''), says);
  }

  edit(mark: Mark, says: string): Promise<boolean> {
    return this.change(() => api.setMark(mark as MarkBody, this.query?.instrument ?? ''), says);
  }

  remove(mark: Mark, says: string): Promise<boolean> {
    return this.change(() => api.deleteMark(mark), says);
  }

  undo(): Promise<boolean> {
    if (!this.sheet?.undo) return Promise.resolve(false);
    return this.change(() => api.undo(this.where), `Taken back: ${this.sheet.undo}`);
  }

  redo(): Promise<boolean> {
    if (!this.sheet?.redo) return Promise.resolve(false);
    return this.change(() => api.redo(this.where), `Made again: ${this.sheet.redo}`);
  }

  /** Shows a way taken before the program has answered: the path bends at once. */
  bend(id: string, label: string): void {
    const sheet = this.sheet;
    const notes = sheet?.mark.notes?.map((n) => {
      const way = n.id === id ? n.others?.find((o) => o.label === label) : undefined;
      return way ? { ...n, choice: way, pinned: true } : n;
    });
    if (sheet && notes) this.sheet = { ...sheet, mark: { ...sheet.mark, notes } };
  }
}
