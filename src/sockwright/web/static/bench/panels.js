// The panels that open over the page, from the menu.

import { PRESSED, USUAL } from "./keys.js";
import { lostPanel } from "./lost_panel.js";
import { waysBack } from "./moment.js";
import {
  around,
  buttonById,
  byId,
  dialogById,
  formById,
  inputById,
  made,
  partOf,
  partsOf,
  problem,
  selectById,
  textById,
} from "./page.js";
import { backToTheCount } from "./reach.js";
import { savePanel } from "./save.js";
import { atHand } from "./sock.js";

/**
 * @import { Bench } from "./bench.js"
 * @import { Learned, Press } from "./keys.js"
 * @import { Said } from "./log.js"
 * @import { Words } from "./say.js"
 * @import { Instruction } from "./sock.js"
 */

/** Longer than this nobody ignores a second press, in ms. */
const LONGEST_MS = 2000;

/** Make the panels of a bench work. @param {Bench} bench */
export function openPanels(bench) {
  /** @type {Record<string, () => void>} */
  const fillers = {
    lost: lostPanel(bench),
    mishap: () => fillMishaps(bench),
    extra: extraPanel(bench),
    note: notePanel(bench),
    settings: settingsPanel(bench),
    keys: keysPanel(bench),
    state: savePanel(bench),
  };
  document.getElementById("state-send")?.addEventListener("click", () => bench.sync.now());
  let touched = false;
  document.addEventListener("click", (event) => {
    const opener = around(event, "[data-open]");
    const panel = opener?.dataset.open;
    if (opener && panel) {
      // From one panel to the next it stays as it was with the first; a key's click has no detail.
      if (!opener.closest("dialog")) touched = event.detail > 0;
      opener.closest("dialog")?.close();
      bench.pace.rest();
      fillers[panel]?.();
      dialogById(panel).showModal();
    }
    around(event, "[data-close]")?.closest("dialog")?.close();
  });
  document.addEventListener("close", () => {
    bench.keys.forget();
    if (touched && !document.querySelector("dialog[open]")) backToTheCount();
  }, true);
}

// Something went wrong

/** @param {Bench} bench */
function fillMishaps(bench) {
  const { sock, words, state } = bench;
  for (const part of partsOf(document, "[data-mishap]", HTMLElement)) {
    const steps = waysBack(sock, words, sock.mishaps[Number(part.dataset.mishap)], state.done);
    part.hidden = !steps.length;
    const list = partOf(part, "ol", HTMLOListElement);
    list.replaceChildren(...steps.map((step) => made("li", step)));
  }
}

// I knitted more or fewer

/** @param {Bench} bench */
function extraPanel(bench) {
  const { words, sock } = bench;
  const number = byId("extra-n");
  const where = selectById("extra-where");
  /** @param {number} by */
  const step = (by) => {
    number.textContent = String(Math.min(99, Math.max(1, Number(number.textContent) + by)));
  };
  byId("extra-less").addEventListener("click", () => step(-1));
  byId("extra-plus").addEventListener("click", () => step(1));
  byId("extra-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const at = Number(where.value);
    const way = Number(partOf(document, '[name="extra-way"]:checked', HTMLInputElement).value);
    const one = sock.instructions[at - 1];
    const by = way * Number(number.textContent);
    const standing = bench.state.extra.find(([each]) => each === at)?.[1] ?? 0;
    if (one.beats + standing + by < 1) {
      problem("extra-problem", words.say("extra_too_many", { n: one.beats + standing }));
      return;
    }
    knitted(bench, one, by);
    dialogById("extra").close();
  });
  return () => {
    problem("extra-problem", "");
    number.textContent = "1";
    const begun = roundsBegun(bench);
    where.replaceChildren(...begun.map((one) => roundsOption(bench, one)));
    partOf(byId("extra-form"), ".main", HTMLButtonElement).disabled = !begun.length;
    if (!begun.length) problem("extra-problem", words.say("extra_nothing"));
  };
}

/** Rounds that are begun or just over, the latest first. @param {Bench} bench */
function roundsBegun(bench) {
  const { done } = bench.state;
  return bench.sock.instructions
    .filter((one) => one.may_vary && one.of && one.first < done)
    .reverse();
}

/**
 * @param {Bench} bench
 * @param {Instruction} one
 */
function roundsOption(bench, one) {
  const { words } = bench;
  const more = bench.state.extra.find(([at]) => at === one.number)?.[1] ?? 0;
  const text = words.say("extra_rounds", {
    section: one.sectionName,
    n: one.number,
    count: one.beats + more,
  });
  return made("option", text, { value: String(one.number) });
}

/**
 * Keep rounds more or fewer; those that are left out are counted on, so that the next step comes.
 * @param {Bench} bench
 * @param {Instruction} one
 * @param {number} by
 */
function knitted(bench, one, by) {
  const { id } = bench.add("extra", { at: one.number, by });
  const left = one.first + one.beats - bench.state.done;
  const within = atHand(bench.sock, bench.state.done) === one;
  if (by < 0 && within) bench.add("count", { by: Math.min(-by, left), of: id });
}

// Notes

/** @param {Bench} bench */
function notePanel(bench) {
  const { words } = bench;
  const form = formById("note-form");
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const text = textById("note-text").value.trim();
    if (!text) return;
    bench.add(inputById("note-deviation").checked ? "deviation" : "note", { text });
    form.reset();
    dialogById("note").close();
  });
  const list = () => {
    const { said } = bench.state;
    byId("notes").hidden = !said.length;
    byId("notes-list").replaceChildren(...[...said].reverse().map((one) => noteLine(words, one)));
  };
  byId("notes-list").addEventListener("click", (event) => {
    const id = around(event, "[data-note]")?.dataset.note;
    if (!id) return;
    bench.add("undo", { of: id });
    list();
    byId("note-text").focus();
  });
  return list;
}

/**
 * @param {Words} words
 * @param {Said} one
 */
function noteLine(words, one) {
  const line = made("li");
  const place = words.moment(one.time);
  const kind = one.deviation ? ` (${words.say("deviation")})` : "";
  const remove = made("button", words.say("note_remove"), { type: "button" });
  remove.dataset.note = one.id;
  line.append(made("p", `${place}${kind}: ${one.text}`, { id: `note-${one.id}` }), remove);
  remove.setAttribute("aria-describedby", `note-${one.id}`);
  return line;
}

// Sound, speech, screen

/** @param {Bench} bench */
function settingsPanel(bench) {
  const { voice, awake, view } = bench;
  /**
   * @param {string} id
   * @param {"sound" | "speech" | "awake"} name
   * @param {boolean} usual
   * @param {(on: boolean) => void} changed
   */
  const box = (id, name, usual, changed) => {
    const input = inputById(id);
    input.checked = bench.settings[name] ?? usual;
    input.addEventListener("change", () => {
      bench.set(name, input.checked);
      changed(input.checked);
    });
    return input;
  };
  box("set-sound", "sound", true, (on) => {
    voice.sound = on;
    if (on) voice.play("count");
  });
  const speech = box("set-speech", "speech", false, (on) => {
    voice.speech = on;
    voice.say(view.spoken(bench.state, true));
  });
  speech.disabled = !voice.canSpeak;
  byId("speech-none").hidden = voice.canSpeak;
  const screen = box("set-awake", "awake", true, (on) => awake.want(on));
  screen.disabled = !awake.possible;
  if (!awake.possible) screen.checked = false;
  byId("awake-none").hidden = awake.possible;
  const debounce = inputById("set-debounce");
  debounce.addEventListener("change", () => {
    const ms = Number(debounce.value);
    const fits = debounce.value.trim() !== "" && Number.isInteger(ms) && ms >= 0 && ms <= LONGEST_MS;
    const told = { text: debounce.value, most: LONGEST_MS };
    problem("debounce-problem", fits ? "" : bench.words.say("debounce_bad", told));
    if (fits) bench.set("debounce", ms);
  });
  return () => {
    debounce.value = String(bench.settings.debounce ?? bench.sock.facts.debounce_ms);
    problem("debounce-problem", "");
  };
}

// Keys

/** @param {Bench} bench */
function keysPanel(bench) {
  const { keys, words } = bench;
  const show = () => {
    for (const deed of PRESSED) {
      const names = keys.map[deed].map((name) => keyWords(words, name));
      const part = partOf(document, `[data-keys="${deed}"]`, HTMLElement);
      part.textContent = names.join(", ") || "–";
    }
    byId("keys-told").textContent = "";
    problem("keys-none", keys.map.one.length ? "" : words.say("keys_none"));
  };
  byId("keys-list").addEventListener("click", (event) => {
    const learned = around(event, "[data-learn]")?.dataset.learn;
    const deed = PRESSED.find((one) => one === learned);
    if (!deed) return;
    byId("keys-told").textContent = words.say("keys_press");
    keys.learn(deed, (key) => {
      if (key) bench.set("keys", keys.map);
      show();
      byId("keys-told").textContent = key ? learnedWords(words, deed, key) : "";
    });
  });
  byId("keys-usual").addEventListener("click", () => {
    keys.forget();
    keys.map = structuredClone(USUAL);
    bench.set("keys", keys.map);
    show();
    byId("keys-told").textContent = words.say("keys_usual_now");
  });
  return show;
}

/**
 * What a key does now, and what it did before.
 * @param {Words} words
 * @param {Press} deed
 * @param {NonNullable<Learned>} key
 */
function learnedWords(words, deed, { name, from }) {
  const told = { key: keyWords(words, name), deed: words.say(`keys_${deed}`) };
  if (!from) return words.say("keys_now", told);
  return words.say("keys_taken", { ...told, from: words.say(`keys_${from}`) });
}

/**
 * @param {Words} words
 * @param {string} name
 */
function keyWords(words, name) {
  const key = `key.${name}`;
  if (key in words.words) return words.say(key);
  return name.length === 1 ? name.toUpperCase() : name;
}
