// Keys that count: those of pedals, remotes and reed switches too, which type like a keyboard.

import { reachedByKeyboard } from "./reach.js";

export const USUAL = {
  one: ["Space", "Enter", "PageDown", "ArrowRight"],
  ten: [],
  undo: ["Backspace", "PageUp", "ArrowLeft"],
};

/** A key by the name it is kept under: the sign it types, or its own name. */
export const keyName = (event) => (event.key === " " ? "Space" : event.key);

const TYPED_INTO =
  'input:not([type="checkbox"], [type="radio"]), select, textarea, [contenteditable]';
/** What these keys press, as everywhere. */
const PRESSES = { Space: "button, summary, input", Enter: "button, summary, a" };

export class Keys {
  /** `done` is called with "one", "ten" or "undo", and the moment of the press. */
  constructor(map, done) {
    this.map = { ...USUAL, ...map };
    this.done = done;
    this.learning = null;
    document.addEventListener("keydown", (event) => this.down(event));
  }

  /** The next key pressed becomes the only one for a deed; `learned` hears what came of it. */
  learn(deed, learned) {
    this.learning = { deed, learned };
  }

  /** No key is waited for any more. */
  forget() {
    this.learning = null;
  }

  down(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const name = keyName(event);
    // A panel tells that it was closed a moment after it is gone: a pedal may be pressed between.
    if (!document.querySelector("dialog[open]")) this.forget();
    if (this.learning) {
      this.learnt(event, name);
      return;
    }
    const deed = Object.keys(this.map).find((one) => this.map[one].includes(name));
    if (!deed || document.querySelector("dialog[open]")) return;
    if (event.target.closest?.(TYPED_INTO)) return;
    if (reachedByKeyboard() && name in PRESSES && event.target.closest?.(PRESSES[name])) {
      if (event.repeat) event.preventDefault();
      return;
    }
    event.preventDefault();
    if (!event.repeat) this.done(deed, event.timeStamp);
  }

  learnt(event, name) {
    if (["Tab", "Shift"].includes(name)) return;
    event.preventDefault();
    event.stopPropagation();
    const { deed, learned } = this.learning;
    this.learning = null;
    if (name === "Escape") {
      learned(null);
      return;
    }
    const from = Object.keys(this.map).find((one) => one !== deed && this.map[one].includes(name));
    if (from) this.map[from] = this.map[from].filter((other) => other !== name);
    this.map[deed] = [name];
    learned({ name, from });
  }
}
