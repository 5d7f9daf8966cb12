// What stands on the page at one moment; only what changed is written.

import { followsText } from "./log.js";
import { placeWords, thenWords } from "./moment.js";
import { buttonById, byId, partsOf } from "./page.js";
import { Scrolls } from "./scrolls.js";
import { atHand, tell } from "./sock.js";

/**
 * @import { Keep } from "./keep.js"
 * @import { State } from "./log.js"
 * @import { Ring } from "./ring.js"
 * @import { Words } from "./say.js"
 * @import { Instruction, Sock } from "./sock.js"
 * @import { Standing } from "./sync.js"
 * @import { Ticks } from "./ticks.js"
 */

const QUIET_MS = 900;
const MAIN = 1;
const HEEL = 2;
const SPRING = 4;
const RIBBER = 8;
const KEPT_WORDS = {
  done: ["sync_short_done", "sync_done"],
  here: ["sync_short_here", "sync_here"],
  off: ["sync_short_off", "sync_off"],
  refused: ["sync_short_here", "sync_refused"],
  enter: ["sync_short_enter", "sync_enter"],
  alone: ["sync_short_alone", "sync_alone"],
  unkept: ["sync_short_unkept", "unkept"],
  left: ["sync_short_left", "sync_left"],
};

export class View {
  /**
   * @param {Sock} sock
   * @param {Words} words
   * @param {Ring} ring
   * @param {Ticks} ticks
   */
  constructor(sock, words, ring, ticks) {
    this.sock = sock;
    this.words = words;
    this.ring = ring;
    this.ticks = ticks;
    this.parts = Object.fromEntries(
      partsOf(document, "body [id]", Element).flatMap((one) =>
        (one instanceof HTMLElement ? [[one.id, one]] : [])),
    );
    this.ten = buttonById("ten");
    this.one = buttonById("one");
    this.scrolls = new Scrolls();
    const counts = sock.instructions.map((one) => Math.max(one.of, one.beats));
    document.body.classList.toggle("hundreds", Math.max(...counts) > 99);
    this.ribber = sock.beds.some(([, dial]) => dial.includes("w"));
    this.main = Object.keys(sock.yarns).find((name) => sock.yarns[name].stays) ?? "";
    /**
     * The instruction that is shown, and the one that was told.
     * @type {Instruction | null | undefined}
     */
    this.instruction = undefined;
    /** @type {Instruction | null | undefined} */
    this.announced = undefined;
    this.extra = "";
    this.yarnShort = false;
    this.speaking = 0;
  }

  /**
   * @param {string} id
   * @param {string} text
   */
  write(id, text) {
    const part = this.parts[id];
    if (part.textContent === text) return;
    part.textContent = text;
    part.hidden = text === "";
  }

  /**
   * Everything that follows from a state; `ten` is what that button counts now.
   * @param {State} state
   * @param {number} ten
   * @param {number} secondsLeft
   */
  show(state, ten, secondsLeft) {
    const one = atHand(this.sock, state.done);
    const extra = JSON.stringify(state.extra);
    const retold = extra !== this.extra;
    if (retold) tell(this.sock, state.extra);
    this.extra = extra;
    const fresh = one !== this.instruction;
    if (retold || fresh) this.showInstruction(one);
    this.instruction = one;
    this.showAside(state, one);
    this.showPlace(state.done);
    this.showCount(state, one);
    this.showButtons(one, ten, state);
    this.ring.show(state.done);
    this.parts.ring.hidden = state.done >= this.sock.off;
    this.showBeside(state.done, one, secondsLeft);
    // Last of all: to scroll, the browser lays out what was written.
    this.scrolls.shown(fresh);
    this.announce(state);
  }

  /** @param {Instruction | null} one */
  showInstruction(one) {
    const { words, sock } = this;
    const of = sock.instructions.length;
    const where = one && `${one.sectionName} · ${words.say("step_of", { n: one.number, of })}`;
    this.write("where", where ?? "");
    // A long text without a short form is the heading itself.
    const head = one ? one.head || one.text : words.say("finished");
    this.write("do", head);
    this.parts.do.className = head.length > 150 ? "long" : head.length > 60 ? "middling" : "";
    this.write("text", one ? (one.head ? one.text : "") : words.say("finished_next"));
    if (this.parts.after) this.parts.after.hidden = Boolean(one);
    document.body.dataset.kind = one?.kind ?? "";
    if (one) this.ticks.reached(one.number);
    this.showItems(one?.items ?? [], one?.number ?? 0);
  }

  /**
   * What the first sock has to say at this step; above all that its plan is another by now.
   * @param {State} state
   * @param {Instruction | null} one
   */
  showAside(state, one) {
    const { words, sock } = this;
    const begun = state.begun ? state.follows : null;
    const other = begun && sock.follows && followsText(begun) !== followsText(sock.follows);
    const lines = other ? [words.say("other_plan")] : one && sock.asides[one.number];
    this.write("aside", (lines ?? []).join(" "));
  }

  /**
   * @param {string[]} items
   * @param {number} step
   */
  showItems(items, step) {
    this.parts.items.hidden = this.parts.hint.hidden = !items.length;
    document.body.classList.toggle("checking", items.length > 0);
    this.parts.items.replaceChildren(
      ...items.map((text) => {
        const line = document.createElement("li");
        const label = document.createElement("label");
        const box = document.createElement("input");
        box.type = "checkbox";
        box.checked = this.ticks.has(step, text);
        box.addEventListener("change", () => this.ticks.set(step, text, box.checked));
        label.append(box, document.createTextNode(text));
        line.append(label);
        return line;
      }),
    );
  }

  /** @param {number} done */
  showPlace(done) {
    const { sock, words } = this;
    const ended = done >= sock.off;
    const told = [placeWords(sock, words, done), thenWords(sock, words, done)];
    this.write("place", ended ? "" : told.filter(Boolean).join(" "));
  }

  /**
   * The count of the part at hand; null where nothing is counted.
   * @param {number} done
   * @returns {[done: number, of: number] | null}
   */
  counted(done) {
    const beat = this.sock.beats[done];
    if (!beat || beat.kind === "do") return null;
    const one = this.sock.instructions[beat.instruction - 1];
    if (one.of) return [beat.count - 1, one.of];
    return one.beats > 1 ? [beat.nth - 1, one.beats] : null;
  }

  /**
   * @param {State} state
   * @param {Instruction | null} one
   */
  showCount(state, one) {
    const counted = this.counted(state.done);
    document.body.classList.toggle("counting", counted !== null);
    this.parts.counted.hidden = counted === null;
    if (counted === null || one === null) return;
    const [done, of] = counted;
    const many = one.kind === "row" ? "rows" : "rounds";
    this.write("count", String(done));
    this.write("of", this.words.say("of", { of }));
    this.write("unit", this.words.say(`${many}_done`));
    this.write("left", this.words.say(`${many}_left`, { n: of - done }));
    this.write("more", this.extraWords(state, one));
  }

  /**
   * Rounds more or fewer in this section so far.
   * @param {State} state
   * @param {Instruction} one
   */
  extraWords(state, one) {
    const by = state.extra
      .filter(([at]) => this.sock.instructions[at - 1]?.section === one.section)
      .reduce((sum, [, rounds]) => sum + rounds, 0);
    if (!by) return "";
    return this.words.say(by > 0 ? "extra_note" : "fewer_note", { n: Math.abs(by) });
  }

  /**
   * @param {Instruction | null} one
   * @param {number} ten
   * @param {State} state
   */
  showButtons(one, ten, state) {
    const kind = one?.kind ?? "do";
    this.write("one-sign", this.words.say(kind === "do" ? "count_do" : "count_one"));
    this.write("one-what", kind === "do" ? "" : this.words.say(`count_${kind}`));
    this.write("ten", this.words.say("count_more", { n: ten < 2 ? 10 : ten }));
    this.ten.disabled = ten < 2;
    this.one.disabled = one === null;
    // Not disabled: another device may have counted what is to be taken back.
    this.parts.undo.setAttribute("aria-disabled", String(!state.undoable.length));
  }

  /**
   * @param {number} done
   * @param {Instruction | null} one
   * @param {number} secondsLeft
   */
  showBeside(done, one, secondsLeft) {
    this.write("next", this.nextWords(one));
    this.write("advice", this.adviceWords(done, one));
    this.write("standing", done < this.sock.off ? this.standingWords(one) : "");
    this.write("yarn", one ? this.yarnWords(done, one) : "");
    this.parts.yarn.classList.toggle("short-of", this.yarnShort);
    const time = this.words.time(secondsLeft);
    this.write("time", one ? this.words.say("time_left", { time }) : "");
  }

  /** @param {Instruction | null} one */
  nextWords(one) {
    if (!one) return "";
    const next = this.sock.instructions[one.number];
    if (!next) return this.words.say("last_step");
    return this.words.say("next", { what: next.head || firstWords(next.text) });
  }

  /**
   * The coming change of weights, spring, ribber or cam, and how far off it is.
   * @param {number} done
   * @param {Instruction | null} one
   */
  adviceWords(done, one) {
    if (!one) return "";
    const coming = this.sock.advice.find(([number]) => number >= one.number);
    if (!coming) return "";
    const [number, kind, setting] = coming;
    const what = this.words.say(`advice.${kind}`, { setting });
    if (number === one.number) return this.words.say("advice_now", { what });
    const between = this.sock.beats.slice(done, this.sock.instructions[number - 1].first);
    const n = between.filter((beat) => beat.kind !== "do").length;
    const rows = between.some((beat) => beat.kind === "row");
    if (!n) return this.words.say("advice_soon", { what });
    return this.words.say(rows ? "advice_in_rows" : "advice_in_rounds", { what, n });
  }

  /** @param {Instruction | null} one */
  standingWords(one) {
    const bits = one && one.number > 1 ? this.sock.instructions[one.number - 2].standing : 0;
    /**
     * @param {number} bit
     * @param {string} name
     */
    const word = (bit, name) => this.words.say(`${name}_${bits & bit ? "on" : "off"}_now`);
    const told = [word(MAIN, "main"), word(HEEL, "heel"), word(SPRING, "spring")];
    if (this.ribber) told.push(word(RIBBER, "ribber"));
    return one ? told.join(" · ") : "";
  }

  /**
   * What of the yarn at hand is left, and what the rest of the pair takes.
   * @param {number} done
   * @param {Instruction} one
   */
  yarnWords(done, one) {
    const name = this.sock.yarns[one.yarn]?.stays ? one.yarn : this.main;
    const yarn = this.sock.yarns[name];
    const used = (this.usedMm(name, done) / 1000) * yarn.g_per_m;
    const need = Math.max(0, yarn.sock_g - used) + yarn.later_g;
    const told = { name: yarn.name, need: this.words.number(need, 0) };
    this.yarnShort = false;
    if (yarn.on_hand_g === null) return this.words.say("yarn", told);
    const left = Math.max(0, yarn.on_hand_g - yarn.earlier_g - used);
    this.yarnShort = left < need;
    return this.words.say(this.yarnShort ? "yarn_short" : "yarn_left", {
      ...told,
      left: this.words.number(left, 0),
    });
  }

  /**
   * @param {string} name
   * @param {number} done
   */
  usedMm(name, done) {
    for (let place = done - 1; place >= 0; place -= 1) {
      const beat = this.sock.beats[place];
      if (this.sock.instructions[beat.instruction - 1].yarn === name) return beat.used_mm;
    }
    return 0;
  }

  /**
   * What is said aloud of a state: what to do where it is new, else what is left.
   * @param {State} state
   * @param {boolean} fresh
   */
  spoken(state, fresh) {
    const one = atHand(this.sock, state.done);
    if (!one) return this.words.say("finished");
    if (fresh) return [one.head || one.text, ...one.items].join(" ");
    const counted = this.counted(state.done);
    if (counted === null || one.kind === "row") return "";
    return String(counted[0]);
  }

  /**
   * Tell a screen reader, once the hands have paused: the count, or the new step.
   * @param {State} state
   */
  announce(state) {
    clearTimeout(this.speaking);
    this.speaking = setTimeout(() => {
      const one = atHand(this.sock, state.done);
      const counted = this.counted(state.done);
      const figure = counted && `${counted[0]} ${this.words.say("of", { of: counted[1] })}`;
      const text = [one !== this.announced && this.parts.do.textContent, figure]
        .filter(Boolean)
        .join(" ");
      this.announced = one;
      this.parts.spoken.textContent = text;
    }, QUIET_MS);
  }

  /** Say what came of something; it stands until the next count. @param {string} text */
  tell(text) {
    this.write("told", text);
  }

  /**
   * Where the count is kept: never said of an entry that is in this window alone.
   * @param {Standing} state
   * @param {Keep} keep
   */
  showKept(state, keep) {
    const unkept = keep.unkept.size;
    const wrong = unkept || keep.saving.size ? "unkept" : keep.refused.size ? "left" : null;
    const where = wrong ?? state;
    const [short, long] = KEPT_WORDS[where];
    const n = wrong ? { unkept, left: keep.refused.size }[wrong] : keep.unsent.size;
    this.write("kept", this.words.say(short));
    this.parts.kept.dataset.kept = where;
    this.parts.kept.classList.toggle("warned", Boolean(wrong));
    this.write("state-told", this.words.say(long, { n }));
    this.parts.unkept.hidden = !unkept;
    if (unkept) this.write("unkept-told", this.words.say("unkept", { n: unkept }));
    if (this.parts["state-enter"]) this.parts["state-enter"].hidden = state !== "enter";
    this.parts["state-lost"].hidden = keep.lasts;
  }

  /** @param {"on" | "off" | "refused"} told */
  showAwake(told) {
    this.parts["awake-refused"].hidden = told !== "refused";
  }
}

/** The beginning of a long text, by whole words. @param {string} text */
const firstWords = (text) =>
  text.length > 90 ? `${text.slice(0, 89).replace(/[,;:]* [^ ]*$/, "")}…` : text;
