// The page beside the machine: what is counted here, kept, shown and brought to the workshop.

import { Awake } from "./awake.js";
import { Keep, deviceId, setSetting, settings } from "./keep.js";
import { Keys, PRESSED } from "./keys.js";
import { MOVING, followsText, newEntry, stateOf } from "./log.js";
import { Pace } from "./pace.js";
import { around, byId, partOf, partsOf } from "./page.js";
import { openPanels } from "./panels.js";
import { Ring } from "./ring.js";
import { askToStay } from "./room.js";
import { Alone } from "./save.js";
import { Words } from "./say.js";
import { atHand, readSock } from "./sock.js";
import { Sync } from "./sync.js";
import { Ticks } from "./ticks.js";
import { takenBackWords } from "./undone.js";
import { Voice } from "./voice.js";
import { View } from "./view.js";

/**
 * @import { Settings } from "./keep.js"
 * @import { Press } from "./keys.js"
 * @import { Deed, Entry } from "./log.js"
 */

const TEN = 10;
const INERT = "a, button, input, select, textarea, label, summary, details, dialog, .b-items";

/** What stands in the page for its scripts. @param {string} id */
const embedded = (id) =>
  JSON.parse(partOf(document, `template#${id}`, HTMLTemplateElement).content.textContent ?? "");

export class Bench {
  constructor() {
    const { sock = "", which = "", log } = document.body.dataset;
    this.sock = readSock(embedded("bench-data"));
    this.words = new Words(this.sock.words, this.sock.language);
    this.device = deviceId();
    this.keep = new Keep(sock, which, () => this.ready && this.show(), !log);
    this.keep.receive(embedded("bench-log"));
    this.state = stateOf(this.keep.all(), this.sock.beats.length);
    /** @type {Settings} */
    this.settings = { sound: true, speech: false, awake: true, ...settings() };
    this.pace = new Pace(this.sock.facts);
    this.pace.learn(this.keep.all(), this.device, this.sock.beats);
    const ring = new Ring(byId("ring"), this.sock);
    this.view = new View(this.sock, this.words, ring, new Ticks(sock, which));
    this.voice = new Voice(this.sock.language, this.settings);
    this.keys = new Keys(this.settings.keys, (deed, at) => this.deed(deed, at));
    this.sync = log
      ? new Sync(log, this.keep, {
          told: () => this.view.showKept(this.sync.state, this.keep),
          news: () => this.show(),
        })
      : new Alone();
    this.awake = new Awake((told) => this.view.showAwake(told));
    this.lastPress = -Infinity;
    /** @type {{name: Press, at: number}[]} */
    this.waiting = [];
    this.asked = false;
    this.ready = true;
    this.listen();
  }

  begin() {
    this.show();
    document.documentElement.classList.add("ready");
    // The first look is not a move: only what follows may turn.
    requestAnimationFrame(() => document.body.classList.add("moving"));
    openPanels(this);
    this.sync.now();
    const awake = () => this.awake.want(this.settings.awake);
    if (this.awake.possible) awake();
  }

  listen() {
    for (const deed of PRESSED) {
      byId(deed).addEventListener("click", (event) => {
        this.deed(deed, event.timeStamp);
      });
    }
    byId("main").addEventListener("click", (event) => {
      // Beside a button counts what is cranked; what is done by hand is told by its button alone.
      const cranked = (atHand(this.sock, this.state.done)?.kind ?? "do") !== "do";
      if (cranked && !around(event, INERT) && !getSelection()?.toString()) {
        this.deed("one", event.timeStamp);
      }
    });
    const [back] = partsOf(document, "a#back", HTMLAnchorElement);
    back?.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      this.leave(back.href);
    });
    addEventListener("beforeunload", (event) => {
      if (this.keep.unkept.size) event.preventDefault();
    });
    addEventListener("storage", (event) => {
      if (this.keep.heard(event)) this.show();
    });
    addEventListener("pageshow", (event) => {
      if (event.persisted) this.show();
    });
    addEventListener("pagehide", () => this.actNow());
    document.addEventListener("visibilitychange", () => {
      if (document.hidden) this.actNow();
      this.pace.rest();
    });
  }

  /**
   * What a key or a button asked for at a moment, however late its turn comes; a press too soon
   * after another is a bounce.
   * @param {Press} name
   * @param {number} at in ms
   */
  deed(name, at) {
    const debounce = this.settings.debounce ?? this.sock.facts.debounce_ms;
    if (at - this.lastPress < debounce) return;
    this.lastPress = at;
    this.inTurn(name, at);
  }

  /**
   * Deeds in the order they came. Those that hang on where the sock is wait a moment for what
   * another device may have counted meanwhile, and what is pressed after them waits behind them.
   * @param {Press} name
   * @param {number} at in ms
   */
  inTurn(name, at) {
    const first = !this.waiting.length;
    if (first && !this.waits(name)) {
      this.act(name, at);
      return;
    }
    this.waiting.push({ name, at });
    if (first) this.takeTurns();
  }

  /** @param {Press} name */
  waits(name) {
    return name !== "one" && this.sync.stale;
  }

  async takeTurns() {
    while (this.waiting.length) {
      const [next] = this.waiting;
      if (this.waits(next.name)) await this.sync.fresh();
      if (this.waiting[0] !== next) continue;
      this.waiting.shift();
      this.act(next.name, next.at);
    }
  }

  /** The page may be gone at once: what was pressed counts, whoever else may have counted. */
  actNow() {
    for (const { name, at } of this.waiting.splice(0)) this.act(name, at);
  }

  /**
   * @param {Press} name
   * @param {number} at in ms
   */
  act(name, at) {
    if (name === "undo") this.undo();
    else this.count(name === "ten" ? this.tenNow() : 1, at);
  }

  /** How many "count ten" counts: never past the end of the instruction. */
  tenNow() {
    const { done } = this.state;
    const one = atHand(this.sock, done);
    return one ? Math.min(TEN, one.first + one.beats - done) : 0;
  }

  /**
   * @param {number} by
   * @param {number} at in ms
   */
  count(by, at) {
    const { done } = this.state;
    if (!by || done >= this.sock.beats.length) return;
    this.add("count", { by });
    this.pace.count(at / 1000, this.sock.beats.slice(done, done + by));
    const before = atHand(this.sock, done);
    const after = atHand(this.sock, this.state.done);
    this.voice.play(before === after ? "count" : "end");
    this.voice.say(this.view.spoken(this.state, before !== after));
  }

  /** Take back what was done last, and say what that was. */
  undo() {
    const last = this.keep.entries.get(this.state.undoable.at(-1) ?? "");
    if (!last) {
      this.tell(this.words.say("undo_nothing"));
      return;
    }
    const also = this.state.undoable.includes(last.of) ? this.keep.entries.get(last.of) : null;
    const told = takenBackWords(this.words, also ?? last);
    this.pace.rest();
    for (const one of [last, also]) if (one) this.add("undo", { of: one.id });
    this.voice.play("undo");
    this.tell(told);
  }

  /**
   * Say on the page, and aloud where that is wished, what came of something.
   * @param {string} text
   */
  tell(text) {
    this.view.tell(text);
    this.voice.say(text);
  }

  /**
   * Keep an entry, then show what follows from it, then see to its way to the workshop.
   * @param {Deed} deed
   * @param {Partial<Entry>} more
   */
  add(deed, more) {
    if (this.sock.follows && !this.state.begun && MOVING.includes(deed)) {
      const text = followsText(this.sock.follows);
      this.keep.add(newEntry(this.state, this.device, "begin", { text }));
      this.state = stateOf(this.keep.all(), this.sock.beats.length);
    }
    const entry = newEntry(this.state, this.device, deed, more);
    this.keep.add(entry);
    if (!this.asked) askToStay();
    this.asked = true;
    this.view.tell("");
    this.show();
    this.sync.soon();
    return entry;
  }

  /** Go to a page of the workshop; where that is not reached, say so. @param {string} address */
  async leave(address) {
    await this.sync.fresh();
    if (this.sync.state === "off") this.tell(this.words.say("away"));
    else location.assign(address);
  }

  /**
   * @template {keyof Settings} Name
   * @param {Name} name
   * @param {Settings[Name]} value
   */
  set(name, value) {
    this.settings[name] = value;
    setSetting(name, value);
  }

  show() {
    this.state = stateOf(this.keep.all(), this.sock.beats.length);
    this.view.show(this.state, this.tenNow(), this.pace.left(this.sock.beats, this.state.done));
    this.view.showKept(this.sync.state, this.keep);
  }
}

new Bench().begin();
