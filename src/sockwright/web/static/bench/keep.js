// What this device keeps by itself: every entry at once, before it is shown.
//
// Each entry has a place of its own in the browser's storage, so that keeping one costs the same
// at the end of a sock as at its beginning, and two windows do not write over each other.

import { newId } from "./log.js";

const NAME = "sockwright:bench";

/** The storage of the browser, null where it keeps nothing; a full one is still read. */
export function storage() {
  try {
    localStorage.getItem(`${NAME}:try`);
    return localStorage;
  } catch {
    return null;
  }
}

/** Whether what is kept of an entry says that the workshop has it too. */
function isSent(text) {
  try {
    return JSON.parse(text)[0] === 1;
  } catch {
    return false;
  }
}

/**
 * Let go of the entries that the workshop has too, but for those whose place begins with `but`.
 * What is not sent yet stays in any case. Tells how many went.
 */
export function forgetSent(but = null) {
  const store = storage();
  const places = Array.from({ length: store?.length ?? 0 }, (_, place) => store.key(place));
  const sent = places.filter((key) =>
    key.startsWith(`${NAME}:log:`) && !(but && key.startsWith(but)) && isSent(store.getItem(key)));
  for (const key of sent) store.removeItem(key);
  return sent.length;
}

/** The number by which this device signs its entries. */
export function deviceId() {
  const store = storage();
  const id = store?.getItem(`${NAME}:device`) ?? newId();
  try {
    store?.setItem(`${NAME}:device`, id);
  } catch {
    // Without a kept number this visit is a device of its own.
  }
  return id;
}

/** The entries of one sock on this device. */
export class Keep {
  constructor(sock, which) {
    this.prefix = `${NAME}:log:${sock}:${which}:`;
    this.store = storage();
    this.entries = new Map();
    this.unsent = new Set();
    this.read();
    this.lasts = this.put(`${NAME}:try`, "1");
    this.store?.removeItem(`${NAME}:try`);
  }

  /** Keep a text at a place; where all is full, what the workshop has of other socks makes room. */
  put(key, text) {
    if (!this.store) return false;
    try {
      this.store.setItem(key, text);
      return true;
    } catch {
      return forgetSent(this.prefix) > 0 && this.put(key, text);
    }
  }

  /** Take in what the storage holds, another window's entries too. */
  read() {
    for (let place = 0; place < (this.store?.length ?? 0); place += 1) {
      const key = this.store.key(place);
      if (key.startsWith(this.prefix)) this.readOne(this.store.getItem(key));
    }
  }

  readOne(text) {
    try {
      const [sent, entry] = JSON.parse(text);
      this.entries.set(entry.id, entry);
      if (sent) this.unsent.delete(entry.id);
      else this.unsent.add(entry.id);
      return true;
    } catch {
      return false; // what was cut off by a dead battery is no entry
    }
  }

  /** Whether another window's change is of this sock; its entry is then here too. */
  heard(event) {
    return Boolean(event.key?.startsWith(this.prefix) && event.newValue && this.readOne(event.newValue));
  }

  write(entry, sent) {
    this.entries.set(entry.id, entry);
    if (sent) this.unsent.delete(entry.id);
    else this.unsent.add(entry.id);
    const kept = this.put(this.prefix + entry.id, JSON.stringify([sent ? 1 : 0, entry]));
    // Full: it stands in this window still, and is said on the page. The workshop has what is sent.
    if (!kept && !sent) this.lasts = false;
  }

  /** Keep a new entry of this device. */
  add(entry) {
    this.write(entry, false);
  }

  /** Take in all that the workshop has; true where something was new. */
  receive(entries) {
    let news = false;
    for (const entry of entries) {
      const known = this.entries.has(entry.id);
      news ||= !known;
      if (!known || this.unsent.has(entry.id)) this.write(entry, true);
    }
    return news;
  }

  /** The entries that the workshop does not have yet, oldest first. */
  waiting() {
    return [...this.unsent].map((id) => this.entries.get(id)).sort((a, b) => a.clock - b.clock);
  }

  all() {
    return [...this.entries.values()];
  }
}

/** What a person has set on this device: sound, keys and the like. */
export function settings() {
  try {
    return JSON.parse(localStorage.getItem(`${NAME}:settings`)) ?? {};
  } catch {
    return {};
  }
}

export function setSetting(name, value) {
  try {
    localStorage.setItem(`${NAME}:settings`, JSON.stringify({ ...settings(), [name]: value }));
  } catch {
    // It holds for this visit.
  }
}
