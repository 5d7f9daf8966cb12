// Keys that count: those of pedals, remotes and reed switches too, which type like a keyboard.

import { around } from "./page.js";
import { reachedByKeyboard } from "./reach.js";

/**
 * @typedef {"one" | "ten" | "undo"} Press what a key asks for
 * @typedef {Record<Press, string[]>} KeyMap the keys that ask for it
 * @typedef {{name: string, from?: Press} | null} Learned a key, and what it did before; null for none
 */

/** @type {readonly Press[]} */
export const PRESSED = ["one", "ten", "undo"];

/** @type {KeyMap} */
export const USUAL = {
  one: ["Space", "Enter", "PageDown", "ArrowRight"],
  ten: [],
  undo: ["Backspace", "PageUp", "ArrowLeft"],
};

/** A key by the name it is kept under: its sign, or its own name. @param {KeyboardEvent} event */
export const keyName = (event) => (event.key === " " ? "Space" : event.key);

const TYPED_INTO =
  'input:not([type="checkbox"], [type="radio"]), select, textarea, [contenteditable]';
/** What these keys press, as everywhere. */
const PRESSES = new Map([["Space", "button, summary, input"], ["Enter", "button, summary, a"]]);

export class Keys {
  /**
   * `done` is called with what a key asked for, and the moment of the press.
   * @param {Partial<KeyMap> | undefined} map
   * @param {(deed: Press, at: number) => void} done
   */
  constructor(map, done) {
    this.map = { ...USUAL, ...map };
    this.done = done;
    /** @type {{deed: Press, learned: (one: Learned) => void} | null} */
    this.learning = null;
    document.addEventListener("keydown", (event) => this.down(event));
  }

  /**
   * The next key pressed becomes the only one for a deed; `learned` hears what came of it.
   * @param {Press} deed
   * @param {(one: Learned) => void} learned
   */
  learn(deed, learned) {
    this.learning = { deed, learned };
  }

  /** No key is waited for any more. */
  forget() {
    this.learning = null;
  }

  /** @param {KeyboardEvent} event */
  down(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const name = keyName(event);
    // A panel tells that it was closed a moment after it is gone: a pedal may be pressed between.
    if (!document.querySelector("dialog[open]")) this.forget();
    if (this.learning) {
      this.learnt(event, name, this.learning);
      return;
    }
    const deed = PRESSED.find((one) => this.map[one].includes(name));
    if (!deed || document.querySelector("dialog[open]")) return;
    if (around(event, TYPED_INTO)) return;
    const presses = PRESSES.get(name);
    if (reachedByKeyboard() && presses && around(event, presses)) {
      if (event.repeat) event.preventDefault();
      return;
    }
    event.preventDefault();
    if (!event.repeat) this.done(deed, event.timeStamp);
  }

  /**
   * @param {KeyboardEvent} event
   * @param {string} name
   * @param {{deed: Press, learned: (one: Learned) => void}} learning
   */
  learnt(event, name, { deed, learned }) {
    if (["Tab", "Shift"].includes(name)) return;
    event.preventDefault();
    event.stopPropagation();
    this.learning = null;
    if (name === "Escape") {
      learned(null);
      return;
    }
    const from = PRESSED.find((one) => one !== deed && this.map[one].includes(name));
    if (from) this.map[from] = this.map[from].filter((other) => other !== name);
    this.map[deed] = [name];
    learned({ name, from });
  }
}
