// Keys that count: those of pedals, remotes and reed switches too, which type like a keyboard.

export const USUAL = {
  one: ["Space", "Enter", "PageDown", "ArrowRight"],
  ten: [],
  undo: ["Backspace", "PageUp", "ArrowLeft"],
};

/** A key by the name it is kept under: the sign it types, or its own name. */
export const keyName = (event) => (event.key === " " ? "Space" : event.key);

const INPUTS = "input, select, textarea, [contenteditable]";
const PRESSED = ["Space", "Enter"];

export class Keys {
  /** `done` is called with "one", "ten" or "undo". */
  constructor(map, done) {
    this.map = { ...USUAL, ...map };
    this.done = done;
    this.learning = null;
    document.addEventListener("keydown", (event) => this.down(event));
  }

  /** The next key pressed becomes the only one for a deed. */
  learn(deed, learned) {
    this.learning = { deed, learned };
  }

  down(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const name = keyName(event);
    if (this.learning) {
      this.learnt(event, name);
      return;
    }
    const deed = Object.keys(this.map).find((one) => this.map[one].includes(name));
    if (!deed || document.querySelector("dialog[open]")) return;
    if (event.target.closest?.(INPUTS)) return;
    // On a focused button or link these keys press it, as everywhere.
    if (PRESSED.includes(name) && event.target.closest?.("button, a, summary")) {
      if (event.repeat) event.preventDefault();
      return;
    }
    event.preventDefault();
    if (!event.repeat) this.done(deed);
  }

  learnt(event, name) {
    if (["Tab", "Shift"].includes(name)) return;
    event.preventDefault();
    event.stopPropagation();
    const { deed, learned } = this.learning;
    this.learning = null;
    if (name !== "Escape") {
      for (const one of Object.keys(this.map)) {
        this.map[one] = this.map[one].filter((other) => other !== name);
      }
      this.map[deed] = [name];
    }
    learned(this.map);
  }
}
