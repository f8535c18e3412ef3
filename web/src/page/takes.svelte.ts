// The names of a sheet's takes, for the remarks that stand at moments of them.
import { api } from '../lib/api';
import type { Written } from '../lib/marks';

export class TakeNames {
  names = $state.raw<ReadonlyMap<string, string>>(new Map());
  private asked = '';

  /** Asks for the names when a remark stands in a take. */
  want(part: string, marks: Written): void {
    const ids = marks.remarks.flatMap((m) => m.remark!.take ?? []).sort().join(' ');
    if (!ids || ids === this.asked) return;
    this.asked = ids;
    // Of every player: a remark for everybody may stand in anybody's take.
    void api.takes({ part }).then((all) => {
      if (ids === this.asked) this.names = new Map(all.map((t) => [t.id, `take of ${dayOf(t.recorded)}`]));
    }, () => {}); // unnamed, they are remarks in a take
  }
}

const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];

/** "24 November", as the calendar stood where it was recorded. */
export function dayOf(recorded: string): string {
  const m = /^\d+-(\d+)-(\d+)/.exec(recorded);
  return m ? `${Number(m[2])} ${months[Number(m[1]) - 1]}` : recorded;
}

/** "24 November, 17:42". */
export function momentOf(recorded: string): string {
  const time = /T(\d+:\d+)/.exec(recorded)?.[1];
  return time ? `${dayOf(recorded)}, ${time}` : dayOf(recorded);
}
