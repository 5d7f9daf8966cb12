// The way back after losing count: the same as tests/lost_places.py, which tells why; tests hold the
// two together.

import { passedAt } from "./sock.js";

/**
 * @import { Beat, Sock } from "./sock.js"
 * @typedef {{raised: Set<number> | null, passed: number | null, section: string,
 *   length_mm: number | null, counted: number | null}} Seen
 * @typedef {{done: number, off: number}} Guess
 */

const BEST = 8;

/**
 * The likeliest of the places that fit what is seen, the likeliest first, as {done, off}.
 *
 * `seen` has raised (a Set of needles or null), passed (the needle that the carrier passed last, as
 * the page tells it, or null), section ("" for none), length_mm (or null), counted (the beats
 * counted before, or null).
 * @param {Sock} sock
 * @param {Seen} seen
 */
export function placesThatFit(sock, seen, most = BEST) {
  return sock.beats
    .filter(toldApart)
    .map((beat) => ({ done: beat.place, off: offOf(sock, beat, seen) }))
    .filter((guess) => guess.off < sock.facts.lost_off_most)
    .sort((a, b) => unlikely(sock, a, seen) - unlikely(sock, b, seen) || a.done - b.done)
    .slice(0, most);
}

/**
 * Whether the sock can be found again after a beat: one that is counted, or of what the hands do
 * between counts one that changes the look of the bed, or the last.
 * @param {Beat} beat
 * @param {number} place
 * @param {Beat[]} beats
 */
function toldApart(beat, place, beats) {
  if (beat.kind !== "do") return true;
  const before = place ? beats[place - 1].bed : beat.before;
  return beat.bed !== before || (place + 1 < beats.length && beats[place + 1].kind !== "do");
}

/**
 * Minus twice the logarithm of a place's likelihood, but for a constant.
 * @param {Sock} sock
 * @param {Guess} guess
 * @param {Seen} seen
 */
function unlikely(sock, { done, off }, { counted }) {
  if (counted === null) return off ** 2;
  return off ** 2 + 2 * Math.log1p(((done - counted) / sock.facts.count_astray) ** 2);
}

/**
 * How far a place is off what is seen, in standard deviations.
 * @param {Sock} sock
 * @param {Beat} beat
 * @param {Seen} seen
 */
function offOf(sock, beat, seen) {
  const facts = sock.facts;
  let total = 0;
  if (seen.section && beat.section !== seen.section) return Infinity;
  if (seen.raised !== null) {
    const look = sock.beds[beat.bed][0];
    let apart = 0;
    for (let n = 1; n <= look.length; n += 1) {
      if ((look[n - 1] === "r") !== seen.raised.has(n)) apart += 1;
    }
    for (const n of seen.raised) if (n > look.length) apart += 1;
    total += (apart / facts.needle_seen_sd) ** 2;
  }
  if (seen.passed !== null) {
    const apart = Math.abs(passedAt(sock, beat.place) - seen.passed) % sock.needles;
    total += (Math.min(apart, sock.needles - apart) / facts.gap_seen_sd) ** 2;
  }
  if (seen.length_mm !== null) {
    const expected = beat.length_mm * facts.length_on_machine;
    const spread = Math.max(facts.length_seen_sd * expected, facts.length_read_sd);
    total += ((seen.length_mm - expected) / spread) ** 2;
  }
  return Math.sqrt(total);
}

/**
 * Needles as people write them ("31-60, 3 5") as a Set; null where it cannot be read. A range that
 * falls goes on over the home gap: of 60 needles "59-2" are 59, 60, 1 and 2.
 * @param {string} text
 * @param {number} most
 */
export function readNeedles(text, most) {
  /** @type {Set<number>} */
  const found = new Set();
  const parts = text.replace(/\s*(?:-|–|—|−)\s*/g, "-").split(/[\s,;]+/).filter(Boolean);
  for (const part of parts) {
    const match = /^(\d{1,3})(?:-(\d{1,3}))?$/.exec(part);
    if (!match) return null;
    const low = Number(match[1]);
    const high = Number(match[2] ?? match[1]);
    if (low < 1 || high < 1 || low > most || high > most) return null;
    const many = ((high - low + most) % most) + 1;
    for (let k = 0; k < many; k += 1) found.add(((low - 1 + k) % most) + 1);
  }
  return found;
}

/** Rising numbers as [[first, last], ...]. @param {number[]} needles */
export function spansOf(needles) {
  /** @type {[first: number, last: number][]} */
  const spans = [];
  for (const n of needles) {
    const span = spans.at(-1);
    if (span?.[1] === n - 1) span[1] = n;
    else spans.push([n, n]);
  }
  return spans;
}
