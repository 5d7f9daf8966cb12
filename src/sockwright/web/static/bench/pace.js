// How long the rest takes: usual times, bent to the pace of this session.

import { inOrder, placeAfter, takenBack } from "./log.js";

const HOUR_S = 3600;

/**
 * @import { Beat, Facts, Kind } from "./sock.js"
 * @import { Entry } from "./log.js"
 */

/** @param {number[]} numbers */
const middle = (numbers) => {
  const sorted = [...numbers].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
};

export class Pace {
  /** Of actual and usual time, each count. @type {Record<Kind, number[]>} */
  ratios = { round: [], row: [], do: [] };
  /** When the last count was made, in s; null where what came since was no knitting.
   * @type {number | null} */
  last = null;

  /** @param {Facts} facts */
  constructor(facts) {
    this.pause = facts.pause_seconds;
    this.session = facts.session_hours * HOUR_S;
    this.usual = facts.pace_counts;
  }

  /**
   * Learn from what this device counted in the session that its log ends with.
   * @param {Entry[]} entries
   * @param {string} device
   * @param {Beat[]} beats
   */
  learn(entries, device, beats) {
    const ordered = inOrder(entries);
    const gone = takenBack(ordered);
    let done = 0;
    let before = -Infinity;
    for (const one of ordered) {
      const at = Date.parse(one.time) / 1000;
      const own = one.device === device && one.deed === "count" && !gone.has(one.id);
      if (at - before > this.session) this.forget();
      if (own) this.count(at, beats.slice(done, done + one.by));
      else this.rest();
      if (!gone.has(one.id)) done = placeAfter(done, one, beats.length);
      before = at;
    }
    this.rest();
  }

  /** Another session, another pace. */
  forget() {
    this.ratios = { round: [], row: [], do: [] };
    this.rest();
  }

  /**
   * A count was made at `seconds`; `beats` are those it counted.
   * @param {number} seconds
   * @param {Beat[]} beats
   */
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

  /**
   * Actual time over usual time for a kind of beat; the middle one, so that a halt counts little.
   * @param {Kind} kind
   */
  factor(kind) {
    return middle([...this.ratios[kind], ...Array(this.usual).fill(1)]);
  }

  /**
   * Seconds from a place to the end.
   * @param {Beat[]} beats
   * @param {number} done
   */
  left(beats, done) {
    const factors = { round: this.factor("round"), row: this.factor("row"), do: this.factor("do") };
    let seconds = 0;
    for (let place = done; place < beats.length; place += 1) {
      seconds += beats[place].seconds * factors[beats[place].kind];
    }
    return seconds;
  }
}
