// The log of a sock at the machine, and the state that follows from it and from nothing else.
//
// The same as sockwright/bench/log.py, which says what each deed means; tests hold the two together.

/** An order of texts that does not depend on the language of the browser. */
const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/** The entries by clock, each id once. */
export function inOrder(entries) {
  const ordered = [...entries].sort(
    (a, b) => a.clock - b.clock || compare(a.device, b.device) || compare(a.id, b.id),
  );
  const once = new Map();
  for (const one of ordered.reverse()) once.set(one.id, one);
  return [...once.values()].reverse();
}

/** Ids of entries that an undo takes back; a later undo may take that undo back. */
export function takenBack(ordered) {
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

/** Rounds more and fewer by instruction, [[number, by], ...], as the entry "begin" has them. */
export const followsText = (follows) => follows.map(([number, by]) => `${number}:${by}`).join(" ");

function readFollows(text) {
  const found = [...text.matchAll(/([0-9]{1,6}):(-?[0-9]{1,6})/g)].map((one) => [+one[1], +one[2]]);
  return [...new Map(found)].sort(([a], [b]) => a - b);
}

const within = (done, beats) => Math.min(Math.max(done, 0), beats);

/** How many beats are done after an entry that stands. */
export function placeAfter(done, entry, beats) {
  if (entry.deed === "count") return within(done + entry.by, beats);
  return entry.deed === "place" ? within(entry.at, beats) : done;
}

/** The state that a log comes to, for a sock of so many beats. */
export function stateOf(entries, beats) {
  const ordered = inOrder(entries);
  const gone = takenBack(ordered);
  const standing = ordered.filter((one) => !gone.has(one.id) && one.deed !== "undo");
  const extra = new Map();
  const said = [];
  let done = 0;
  let begun = false;
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

/** A new entry after all those of a state. */
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
