// The log of a sock at the machine, and the state that follows from it and from nothing else.
//
// The same as sockwright/bench/log.py, which says what each deed means; tests hold the two together.

/**
 * @import { Rounds } from "./sock.js"
 * @typedef {"begin" | "count" | "undo" | "place" | "extra" | "note" | "deviation"} Deed
 * @typedef {{id: string, clock: number, device: string, time: string, deed: Deed, by: number,
 *   of: string, at: number, text: string}} Entry
 * @typedef {{id: string, time: string, done: number, text: string, deviation: boolean}} Said
 * @typedef {{done: number, extra: Rounds, said: Said[], undoable: string[], clock: number,
 *   begun: boolean, follows: Rounds | null}} State
 */

/**
 * An order of texts that does not depend on the language of the browser.
 * @param {string} a
 * @param {string} b
 */
const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/** The entries by clock, each id once. @param {Iterable<Entry>} entries */
export function inOrder(entries) {
  const ordered = [...entries].sort(
    (a, b) => a.clock - b.clock || compare(a.device, b.device) || compare(a.id, b.id),
  );
  /** @type {Map<string, Entry>} */
  const once = new Map();
  for (const one of ordered.reverse()) once.set(one.id, one);
  return [...once.values()].reverse();
}

/**
 * Ids of entries that an undo takes back; a later undo may take that back.
 * @param {Entry[]} ordered
 */
export function takenBack(ordered) {
  /** @type {Set<string>} */
  const gone = new Set();
  const earlier = new Map(ordered.map((one, place) => [one.id, place]));
  for (let place = ordered.length - 1; place >= 0; place -= 1) {
    const one = ordered[place];
    if (one.deed !== "undo" || gone.has(one.id)) continue;
    if ((earlier.get(one.of) ?? place) < place) gone.add(one.of);
  }
  return gone;
}

/** Deeds by which a sock is begun: they mean nothing without the plan they were counted by. */
export const MOVING = ["count", "place", "extra"];

/** Rounds more and fewer as the entry "begin" has them. @param {Rounds} follows */
export const followsText = (follows) => follows.map(([number, by]) => `${number}:${by}`).join(" ");

/** @param {string} text */
function readFollows(text) {
  /** @type {Map<number, number>} */
  const found = new Map();
  for (const [, number, by] of text.matchAll(/([0-9]{1,6}):(-?[0-9]{1,6})/g)) found.set(+number, +by);
  return [...found].sort(([a], [b]) => a - b);
}

/**
 * @param {number} done
 * @param {number} beats
 */
const within = (done, beats) => Math.min(Math.max(done, 0), beats);

/**
 * How many beats are done after an entry that stands.
 * @param {number} done
 * @param {Entry} entry
 * @param {number} beats
 */
export function placeAfter(done, entry, beats) {
  if (entry.deed === "count") return within(done + entry.by, beats);
  return entry.deed === "place" ? within(entry.at, beats) : done;
}

/**
 * The state that a log comes to, for a sock of so many beats.
 * @param {Iterable<Entry>} entries
 * @param {number} beats
 * @returns {State}
 */
export function stateOf(entries, beats) {
  const ordered = inOrder(entries);
  const gone = takenBack(ordered);
  const standing = ordered.filter((one) => !gone.has(one.id) && one.deed !== "undo");
  /** @type {Map<number, number>} */
  const extra = new Map();
  const said = [];
  let done = 0;
  let begun = false;
  /** @type {Rounds | null} */
  let follows = null;
  for (const one of standing) {
    begun ||= MOVING.includes(one.deed);
    done = placeAfter(done, one, beats);
    if (one.deed === "count" || one.deed === "place") continue;
    if (one.deed === "begin") follows = begun ? follows : readFollows(one.text);
    else if (one.deed === "extra") extra.set(one.at, (extra.get(one.at) ?? 0) + one.by);
    else {
      said.push({
        id: one.id,
        time: one.time,
        done,
        text: one.text,
        deviation: one.deed === "deviation",
      });
    }
  }
  return {
    done,
    extra: [...extra].filter(([, by]) => by).sort(([a], [b]) => a - b),
    said,
    undoable: standing.filter((one) => MOVING.includes(one.deed)).map((one) => one.id),
    clock: Math.max(0, ...ordered.map((one) => one.clock)),
    begun,
    follows,
  };
}

/**
 * A new entry after all those of a state.
 * @param {State} state
 * @param {string} device
 * @param {Deed} deed
 * @param {Partial<Entry>} more
 * @returns {Entry}
 */
export function newEntry(state, device, deed, more = {}) {
  return {
    id: newId(),
    clock: state.clock + 1,
    device,
    time: new Date().toISOString(),
    deed,
    by: 0,
    of: "",
    at: 0,
    text: "",
    ...more,
  };
}

/** A number nobody else has, as a UUID; browsers give randomUUID to secure pages only. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [8, 12, 16, 20, 32]
    .map((end, place, ends) => hex.slice(place ? ends[place - 1] : 0, end))
    .join("-");
}
