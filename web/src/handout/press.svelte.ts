// What was made on this screen, so that it is made once for looking and saving.
import { Problem } from '../lib/api';
import { room } from '../lib/room.svelte';
import { sentence } from '../takes/words';
import { make, type Made, type Order, type Size } from './orders';

type Sheet = { part: string; player: string };
export type Setting = { sheet: Sheet; paper: Size; lanes: boolean };

const noPrinter = 501;

export class Press {
  making = $state(''); // key of the order that is being made
  problem = $state.raw<{ key: string; says: string; noPrinter: boolean } | null>(null);
  private shelf = $state.raw(new Map<string, Made>());

  made(o: Order, s: Setting): Made | undefined {
    return this.shelf.get(key(o, s));
  }

  /** Gives the order made before, or has it made; null when that failed, which is said. */
  async get(o: Order, s: Setting): Promise<Made | null> {
    const known = this.made(o, s);
    if (known) return known;
    this.making = o.key;
    this.problem = null;
    room.say(`${o.name} is being made`);
    try {
      const made = await make(o, s.sheet, s.paper, s.lanes);
      this.shelf = new Map(this.shelf).set(key(o, s), made);
      room.say(`${made.name} is ready`);
      return made;
    } catch (e) {
      const says = sentence(e instanceof Problem ? e.message : String(e));
      this.problem = { key: o.key, says, noPrinter: e instanceof Problem && e.status === noPrinter };
      return null;
    } finally {
      this.making = '';
    }
  }
}

const key = (o: Order, s: Setting) => JSON.stringify([o.key, s.sheet, o.form === 'pdf' && [s.paper, s.lanes]]);
