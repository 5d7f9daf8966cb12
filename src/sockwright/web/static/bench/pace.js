// How long the rest takes: usual times, bent to the pace of this session.

const middle = (numbers) => {
  const sorted = [...numbers].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
};

export class Pace {
  constructor(facts) {
    this.pause = facts.pause_seconds;
    this.usual = facts.pace_counts;
    this.ratios = { round: [], row: [], do: [] };
    this.last = null;
  }

  /** A count was made at `seconds`; `beats` are those it counted. */
  count(seconds, beats) {
    const before = this.last;
    this.last = seconds;
    if (before === null || !beats.length) return;
    const took = seconds - before;
    const expected = beats.reduce((sum, beat) => sum + beat.seconds, 0);
    if (took <= 0 || took > this.pause || expected <= 0) return;
    this.ratios[beats[0].kind].push(took / expected);
  }

  /** Something else was done: the time since the last count tells nothing of the pace. */
  rest() {
    this.last = null;
  }

  /** Actual time over usual time for a kind of beat; the middle one, so that a halt counts little. */
  factor(kind) {
    return middle([...this.ratios[kind], ...Array(this.usual).fill(1)]);
  }

  /** Seconds from a place to the end. */
  left(beats, done) {
    const factors = { round: this.factor("round"), row: this.factor("row"), do: this.factor("do") };
    let seconds = 0;
    for (let place = done; place < beats.length; place += 1) {
      seconds += beats[place].seconds * factors[beats[place].kind];
    }
    return seconds;
  }
}
