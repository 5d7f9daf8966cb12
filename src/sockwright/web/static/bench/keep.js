// What this device keeps by itself: every entry at once, before it is shown.
//
// Each entry has a place of its own in the browser's storage, so that keeping one costs the same
// at the end of a sock as at its beginning, and two windows do not write over each other. Where that
// storage is full, an entry goes to the deeper place; where that is full too, it is said at once.

import { dropDeep, hasDeep, keysDeep, putDeep, readDeep } from "./deep.js";
import { newId } from "./log.js";
import { shed } from "./room.js";

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

/** The same in the deeper place. */
export async function forgetSentDeep() {
  const keys = await keysDeep(`${NAME}:log:`);
  const texts = await readDeep(`${NAME}:log:`);
  const sent = keys.filter((_, place) => isSent(texts[place]));
  if (sent.length) await dropDeep(sent);
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
  /** `told` is called when what is kept of the entries changed without being asked to; with `twice`
   * each entry is kept at the deeper place too, for there is no workshop that will have it. */
  constructor(sock, which, told = () => {}, twice = false) {
    this.twice = twice;
    this.prefix = `${NAME}:log:${sock}:${which}:`;
    this.store = storage();
    this.told = told;
    this.entries = new Map();
    this.unsent = new Set();
    // What the workshop refused, with its problems; what is on its way to the deeper place; what
    // stands in this window alone, for no place on this device has room.
    this.refused = new Map();
    this.saving = new Set();
    this.unkept = new Set();
    this.moved = new Set();
    this.deeper = new Set();
    this.read();
    this.lasts = this.put(`${NAME}:try`, "1");
    this.store?.removeItem(`${NAME}:try`);
    this.work = this.readDeeper();
  }

  /** Resolves when nothing is on its way to the disk. */
  async settled() {
    let work;
    do await (work = this.work); while (work !== this.work);
  }

  /** Take in what the deeper place holds. */
  async readDeeper() {
    const lasted = this.lasts;
    this.lasts ||= await hasDeep();
    const texts = await readDeep(this.prefix);
    const fresh = texts.filter((text) => this.isNews(text));
    for (const text of fresh) this.readOne(text);
    for (const key of await keysDeep(this.prefix)) this.deeper.add(key);
    if (fresh.length || lasted !== this.lasts) this.told();
  }

  isNews(text) {
    try {
      return !this.entries.has(JSON.parse(text)[1].id);
    } catch {
      return false;
    }
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
    if (sent) this.refused.delete(entry.id);
    const text = JSON.stringify([sent ? 1 : 0, entry]);
    if (this.put(this.prefix + entry.id, text)) {
      this.settle(entry.id);
      if (this.twice) this.writeTwice(entry.id, text);
      else this.leaveDeeper(this.prefix + entry.id);
      return;
    }
    if (sent) this.settle(entry.id); // the workshop has it
    else this.saving.add(entry.id);
    this.work = this.work.then(() => this.writeDeeper(entry.id, text, sent));
  }

  settle(id) {
    this.saving.delete(id);
    this.unkept.delete(id);
  }

  /** What has a place again does without the deeper one. */
  leaveDeeper(key) {
    if (this.deeper.delete(key)) this.work = this.work.then(() => dropDeep([key]));
  }

  /** A browser may lose what it said it keeps of a page that is a file: the whole of it at once. */
  writeTwice(id, text) {
    const key = this.prefix + id;
    this.deeper.add(key);
    this.work = this.work.then(() => putDeep(key, text));
  }

  async writeDeeper(id, text, sent) {
    const key = this.prefix + id;
    this.deeper.add(key);
    let kept = await putDeep(key, text);
    while (!kept && !sent && (await shed())) kept = await putDeep(key, text);
    this.saving.delete(id);
    // Meanwhile the workshop may have got it, or it may have been dropped.
    if (kept || !this.unsent.has(id)) this.unkept.delete(id);
    else this.unkept.add(id);
    if (!sent) this.told();
  }

  /** Keep a new entry of this device, and try again with those that found no room. */
  add(entry) {
    const again = [...this.unkept].map((id) => this.entries.get(id));
    for (const one of [...again, entry]) this.write(one, false);
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

  /** Note what the workshop refused, of entries that were sent in this order, and why. A clock that
   * ran ahead, for the workshop was put back to what it was, is set once by itself. */
  refuse(refused, sent, highest) {
    let clock = highest;
    for (const { number, problems } of refused) {
      const entry = this.entries.get(sent[number - 1]?.id);
      if (!entry || !this.unsent.has(entry.id)) continue;
      const ahead = entry.clock > highest && problems.every((one) => one.path.endsWith(".clock"));
      if (ahead && !this.moved.has(entry.id)) {
        this.moved.add(entry.id);
        this.write({ ...entry, clock: (clock += 1) }, false);
      } else {
        this.refused.set(entry.id, problems);
      }
    }
  }

  /** Send an entry again that was refused, with another text where that was wrong. */
  mend(id, text) {
    this.refused.delete(id);
    this.write({ ...this.entries.get(id), text }, false);
  }

  /** Let go of an entry that was refused: neither this device nor the workshop has it then. */
  drop(id) {
    for (const all of [this.entries, this.unsent, this.refused, this.saving, this.unkept]) all.delete(id);
    this.store?.removeItem(this.prefix + id);
    this.leaveDeeper(this.prefix + id);
  }

  /** The entries that the workshop does not have yet and may take, oldest first. */
  waiting() {
    return [...this.unsent]
      .filter((id) => !this.refused.has(id))
      .map((id) => this.entries.get(id))
      .sort((a, b) => a.clock - b.clock);
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
