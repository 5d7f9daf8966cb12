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

/** All places of the browser's storage, at one moment. @param {Storage | null} store */
export const placesIn = (store) =>
  Array.from({ length: store?.length ?? 0 }, (_, place) => store?.key(place) ?? "");

/** Whether what is kept of an entry says that the workshop has it too. @param {string} text */
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
export function forgetSent(but = "") {
  const store = storage();
  if (!store) return 0;
  const sent = placesIn(store).filter((key) => key.startsWith(`${NAME}:log:`)
    && !(but && key.startsWith(but)) && isSent(store.getItem(key) ?? ""));
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

/**
 * @import { Entry } from "./log.js"
 * @typedef {{path: string, wrong: string, right: string}} Problem
 * @typedef {{number: number, problems: Problem[]}} Refusal of one entry, by its number from 1
 * @typedef {{sound: boolean, speech: boolean, awake: boolean, debounce?: number,
 *   keys?: import("./keys.js").KeyMap}} Settings
 */

/** The entries of one sock on this device. */
export class Keep {
  /**
   * `told` is called when what is kept of the entries changed without being asked to; with `twice`
   * each entry is kept at the deeper place too, for there is no workshop that will have it.
   * @param {string} sock
   * @param {string} which
   */
  constructor(sock, which, told = () => {}, twice = false) {
    this.twice = twice;
    this.prefix = `${NAME}:log:${sock}:${which}:`;
    this.store = storage();
    this.told = told;
    /** @type {Map<string, Entry>} */
    this.entries = new Map();
    /** @type {Set<string>} */
    this.unsent = new Set();
    // What the workshop refused, with its problems; what is on its way to the deeper place; what
    // stands in this window alone, for no place on this device has room.
    /** @type {Map<string, Problem[]>} */
    this.refused = new Map();
    /** @type {Set<string>} */
    this.saving = new Set();
    /** @type {Set<string>} */
    this.unkept = new Set();
    /** @type {Set<string>} */
    this.moved = new Set();
    /** @type {Set<string>} */
    this.deeper = new Set();
    this.read();
    this.lasts = this.put(`${NAME}:try`, "1");
    this.store?.removeItem(`${NAME}:try`);
    /** @type {Promise<unknown>} */
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

  /** @param {string} text */
  isNews(text) {
    try {
      return !this.entries.has(JSON.parse(text)[1].id);
    } catch {
      return false;
    }
  }

  /**
   * Keep a text at a place; where all is full, what the workshop has of other socks makes room.
   * @param {string} key
   * @param {string} text
   * @returns {boolean}
   */
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
    for (const key of placesIn(this.store)) {
      if (key.startsWith(this.prefix)) this.readOne(this.store?.getItem(key) ?? "");
    }
  }

  /** @param {string} text */
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

  /**
   * Whether another window's change is of this sock; its entry is then here too.
   * @param {StorageEvent} event
   */
  heard(event) {
    return Boolean(event.key?.startsWith(this.prefix) && event.newValue && this.readOne(event.newValue));
  }

  /**
   * @param {Entry} entry
   * @param {boolean} sent
   */
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

  /** @param {string} id */
  settle(id) {
    this.saving.delete(id);
    this.unkept.delete(id);
  }

  /** What has a place again does without the deeper one. @param {string} key */
  leaveDeeper(key) {
    if (this.deeper.delete(key)) this.work = this.work.then(() => dropDeep([key]));
  }

  /**
   * A browser may lose what it said it keeps of a page that is a file: the whole of it at once.
   * @param {string} id
   * @param {string} text
   */
  writeTwice(id, text) {
    const key = this.prefix + id;
    this.deeper.add(key);
    this.work = this.work.then(() => putDeep(key, text));
  }

  /**
   * @param {string} id
   * @param {string} text
   * @param {boolean} sent
   */
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

  /**
   * Keep a new entry of this device, and try again with those that found no room.
   * @param {Entry} entry
   */
  add(entry) {
    for (const one of [...this.those(this.unkept), entry]) this.write(one, false);
  }

  /** The entries of some ids. @param {Iterable<string>} ids */
  those(ids) {
    return [...ids].flatMap((id) => this.entries.get(id) ?? []);
  }

  /** Take in all that the workshop has; true where something was new. @param {Entry[]} entries */
  receive(entries) {
    let news = false;
    for (const entry of entries) {
      const known = this.entries.has(entry.id);
      news ||= !known;
      if (!known || this.unsent.has(entry.id)) this.write(entry, true);
    }
    return news;
  }

  /**
   * Note what the workshop refused, of entries that were sent in this order, and why. A clock that
   * ran ahead, for the workshop was put back to what it was, is set once by itself.
   * @param {Refusal[]} refused
   * @param {Entry[]} sent
   * @param {number} highest
   */
  refuse(refused, sent, highest) {
    let clock = highest;
    for (const { number, problems } of refused) {
      const entry = this.entries.get(sent[number - 1]?.id ?? "");
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

  /**
   * Send an entry again that was refused, with another text where that was wrong.
   * @param {string} id
   * @param {string | undefined} text
   */
  mend(id, text) {
    this.refused.delete(id);
    for (const entry of this.those([id])) this.write({ ...entry, text: text ?? entry.text }, false);
  }

  /** Let go of an entry that was refused: nobody has it then. @param {string} id */
  drop(id) {
    for (const all of [this.entries, this.unsent, this.refused, this.saving, this.unkept]) all.delete(id);
    this.store?.removeItem(this.prefix + id);
    this.leaveDeeper(this.prefix + id);
  }

  /** The entries that the workshop does not have yet and may take, oldest first. */
  waiting() {
    const those = this.those(this.unsent).filter((one) => !this.refused.has(one.id));
    return those.sort((a, b) => a.clock - b.clock);
  }

  all() {
    return [...this.entries.values()];
  }
}

/**
 * What a person has set on this device: sound, keys and the like.
 * @returns {Partial<Settings>}
 */
export function settings() {
  try {
    return JSON.parse(localStorage.getItem(`${NAME}:settings`) ?? "{}");
  } catch {
    return {};
  }
}

/**
 * @template {keyof Settings} Name
 * @param {Name} name
 * @param {Settings[Name]} value
 */
export function setSetting(name, value) {
  try {
    localStorage.setItem(`${NAME}:settings`, JSON.stringify({ ...settings(), [name]: value }));
  } catch {
    // It holds for this visit.
  }
}
