// What was ticked at each check, kept on this device with the texts that were ticked: a check that
// says something else by now is to be made anew.

import { placesIn, storage } from "./keep.js";

const PLACE = "sockwright:bench:ticks:";

export class Ticks {
  /**
   * @param {string} sock
   * @param {string} which
   */
  constructor(sock, which) {
    this.key = `${PLACE}${sock}:${which}`;
    /** @type {Record<string, string[]>} */
    this.steps = {};
    try {
      this.steps = JSON.parse(storage()?.getItem(this.key) ?? "{}");
    } catch {
      // What was cut off by a dead battery is no tick.
    }
  }

  /**
   * @param {number} step
   * @param {string} text
   */
  has(step, text) {
    return Boolean(this.steps[step]?.includes(text));
  }

  /**
   * @param {number} step
   * @param {string} text
   * @param {boolean} on
   */
  set(step, text, on) {
    const others = (this.steps[step] ?? []).filter((one) => one !== text);
    this.steps[step] = on ? [...others, text] : others;
    this.write();
  }

  /**
   * Forget the checks further on than the next step: what was in order there is knitted anew.
   * @param {number} step
   */
  reached(step) {
    const on = Object.keys(this.steps).filter((one) => Number(one) > step + 1);
    if (!on.length) return;
    for (const one of on) delete this.steps[one];
    this.write();
  }

  write() {
    try {
      storage()?.setItem(this.key, JSON.stringify(this.steps));
    } catch {
      // Full: they stand as long as this page does.
    }
  }
}

/** Let go of the ticks of all socks. */
export function forgetTicks() {
  const store = storage();
  for (const key of placesIn(store)) if (key.startsWith(PLACE)) store?.removeItem(key);
}
