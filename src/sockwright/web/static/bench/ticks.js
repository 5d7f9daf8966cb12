// What was ticked at each check, kept on this device with the texts that were ticked: a check that
// says something else by now is to be made anew.

import { storage } from "./keep.js";

const PLACE = "sockwright:bench:ticks:";

export class Ticks {
  constructor(sock, which) {
    this.key = `${PLACE}${sock}:${which}`;
    this.steps = {};
    try {
      this.steps = JSON.parse(storage()?.getItem(this.key)) ?? {};
    } catch {
      // What was cut off by a dead battery is no tick.
    }
  }

  has(step, text) {
    return Boolean(this.steps[step]?.includes(text));
  }

  set(step, text, on) {
    const others = (this.steps[step] ?? []).filter((one) => one !== text);
    this.steps[step] = on ? [...others, text] : others;
    this.write();
  }

  /** Forget the checks further on than the next step: what was in order there is knitted anew. */
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
  const places = Array.from({ length: store?.length ?? 0 }, (_, place) => store.key(place));
  for (const key of places) if (key.startsWith(PLACE)) store.removeItem(key);
}
