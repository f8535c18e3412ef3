// What of a take is shown: folded lanes, which tuning, which beat, which time round.
// Kept in this browser.
export const lanes = ['cents', 'time', 'length', 'level', 'breath'] as const;
export type Lane = (typeof lanes)[number];
export type Shown = { open: Record<Lane, boolean>; own: boolean; steady: boolean; pass: number };

/** Names on the screen: in the margin of a system, and on the switch. */
export const laneNames: Record<Lane, [margin: string, name: string]> = {
  cents: ['cents', 'Intonation'], time: ['ms', 'Time'], length: ['length', 'Length'], level: ['dB', 'Level'], breath: ['breath', 'Breaths'],
};

const shelf = 'take-view';

class View implements Shown {
  open = $state<Record<Lane, boolean>>({ cents: true, time: true, length: true, level: true, breath: true });
  /** Cents against the take's own tuning, or the reference A. */
  own = $state(true);
  /** Milliseconds against a steady beat, or the take's own local one. */
  steady = $state(false);
  /** Which time round is drawn where bars are repeated; 0 for all, side by side. */
  pass = $state(0);

  constructor() {
    try {
      const kept = JSON.parse(localStorage.getItem(shelf) ?? '{}') as Partial<Shown>;
      for (const lane of lanes) if (kept.open?.[lane] === false) this.open[lane] = false;
      if (kept.own === false) this.own = false;
      if (kept.steady === true) this.steady = true;
    } catch {
      // storage refused or damaged: everything is shown
    }
  }

  fold(lane: Lane): void {
    this.open[lane] = !this.open[lane];
    this.keep();
  }
  setOwn(own: boolean): void {
    this.own = own;
    this.keep();
  }
  setSteady(steady: boolean): void {
    this.steady = steady;
    this.keep();
  }

  private keep(): void {
    try {
      localStorage.setItem(shelf, JSON.stringify({ open: this.open, own: this.own, steady: this.steady }));
    } catch {
      // storage refused: nothing is kept
    }
  }
}

export const view = new View();
