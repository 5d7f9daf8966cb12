// The panels that open over the page, from the menu.

import { USUAL } from "./keys.js";
import { lostPanel } from "./lost_panel.js";
import { waysBack } from "./moment.js";
import { byId, made, problem } from "./page.js";
import { backToTheCount } from "./reach.js";
import { savePanel } from "./save.js";
import { atHand } from "./sock.js";

/** Longer than this nobody ignores a second press, in ms. */
const LONGEST_MS = 2000;

/** Make the panels of a bench work. */
export function openPanels(bench) {
  const fillers = {
    lost: lostPanel(bench),
    mishap: () => fillMishaps(bench),
    extra: extraPanel(bench),
    note: notePanel(bench),
    settings: settingsPanel(bench),
    keys: keysPanel(bench),
    state: savePanel(bench),
  };
  byId("state-send")?.addEventListener("click", () => bench.sync.now());
  let touched = false;
  document.addEventListener("click", (event) => {
    const opener = event.target.closest("[data-open]");
    if (opener) {
      // From one panel to the next it stays as it was with the first; a key's click has no detail.
      if (!opener.closest("dialog")) touched = event.detail > 0;
      opener.closest("dialog")?.close();
      bench.pace.rest();
      fillers[opener.dataset.open]?.();
      byId(opener.dataset.open).showModal();
    }
    if (event.target.closest("[data-close]")) event.target.closest("dialog").close();
  });
  document.addEventListener("close", () => {
    bench.keys.forget();
    if (touched && !document.querySelector("dialog[open]")) backToTheCount();
  }, true);
}

// Something went wrong

function fillMishaps(bench) {
  const { sock, words, state } = bench;
  for (const part of document.querySelectorAll("[data-mishap]")) {
    const steps = waysBack(sock, words, sock.mishaps[part.dataset.mishap], state.done);
    part.hidden = !steps.length;
    part.querySelector("ol").replaceChildren(...steps.map((step) => made("li", step)));
  }
}

// I knitted more or fewer

function extraPanel(bench) {
  const { words, sock } = bench;
  const number = byId("extra-n");
  const step = (by) => {
    number.textContent = Math.min(99, Math.max(1, Number(number.textContent) + by));
  };
  byId("extra-less").addEventListener("click", () => step(-1));
  byId("extra-plus").addEventListener("click", () => step(1));
  byId("extra-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const at = Number(byId("extra-where").value);
    const way = Number(document.querySelector('[name="extra-way"]:checked').value);
    const one = sock.instructions[at - 1];
    const by = way * Number(number.textContent);
    const standing = bench.state.extra.find(([where]) => where === at)?.[1] ?? 0;
    if (one.beats + standing + by < 1) {
      problem("extra-problem", words.say("extra_too_many", { n: one.beats + standing }));
      return;
    }
    knitted(bench, one, by);
    byId("extra").close();
  });
  return () => {
    problem("extra-problem", "");
    number.textContent = "1";
    const begun = roundsBegun(bench);
    byId("extra-where").replaceChildren(...begun.map((one) => roundsOption(bench, one)));
    byId("extra-form").querySelector(".main").disabled = !begun.length;
    if (!begun.length) problem("extra-problem", words.say("extra_nothing"));
  };
}

/** Rounds that are begun or just over, the latest first. */
function roundsBegun(bench) {
  const { done } = bench.state;
  return bench.sock.instructions
    .filter((one) => one.may_vary && one.of && one.first < done)
    .reverse();
}

function roundsOption(bench, one) {
  const { words } = bench;
  const more = bench.state.extra.find(([at]) => at === one.number)?.[1] ?? 0;
  const text = words.say("extra_rounds", {
    section: one.sectionName,
    n: one.number,
    count: one.beats + more,
  });
  return made("option", text, { value: one.number });
}

/** Keep rounds more or fewer; those that are left out are counted on, so that the next step comes. */
function knitted(bench, one, by) {
  const { id } = bench.add("extra", { at: one.number, by });
  const left = one.first + one.beats - bench.state.done;
  const within = atHand(bench.sock, bench.state.done) === one;
  if (by < 0 && within) bench.add("count", { by: Math.min(-by, left), of: id });
}

// Notes

function notePanel(bench) {
  const { words } = bench;
  byId("note-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const text = byId("note-text").value.trim();
    if (!text) return;
    bench.add(byId("note-deviation").checked ? "deviation" : "note", { text });
    byId("note-form").reset();
    byId("note").close();
  });
  const list = () => {
    const { said } = bench.state;
    byId("notes").hidden = !said.length;
    byId("notes-list").replaceChildren(...[...said].reverse().map((one) => noteLine(words, one)));
  };
  byId("notes-list").addEventListener("click", (event) => {
    const id = event.target.closest("[data-note]")?.dataset.note;
    if (!id) return;
    bench.add("undo", { of: id });
    list();
    byId("note-text").focus();
  });
  return list;
}

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

function settingsPanel(bench) {
  const { voice, awake, view } = bench;
  const box = (id, name, usual, changed) => {
    const input = byId(id);
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
  const debounce = byId("set-debounce");
  debounce.addEventListener("change", () => {
    const ms = Number(debounce.value);
    const fits = debounce.value.trim() && Number.isInteger(ms) && ms >= 0 && ms <= LONGEST_MS;
    const told = { text: debounce.value, most: LONGEST_MS };
    problem("debounce-problem", fits ? "" : bench.words.say("debounce_bad", told));
    if (fits) bench.set("debounce", ms);
  });
  return () => {
    debounce.value = bench.settings.debounce ?? bench.sock.facts.debounce_ms;
    problem("debounce-problem", "");
  };
}

// Keys

function keysPanel(bench) {
  const { keys, words } = bench;
  const show = () => {
    for (const part of document.querySelectorAll("[data-keys]")) {
      const names = keys.map[part.dataset.keys].map((name) => keyWords(words, name));
      part.textContent = names.join(", ") || "–";
    }
    byId("keys-told").textContent = "";
    problem("keys-none", keys.map.one.length ? "" : words.say("keys_none"));
  };
  byId("keys-list").addEventListener("click", (event) => {
    const deed = event.target.closest("[data-learn]")?.dataset.learn;
    if (!deed) return;
    byId("keys-told").textContent = words.say("keys_press");
    keys.learn(deed, (learned) => {
      if (learned) bench.set("keys", keys.map);
      show();
      byId("keys-told").textContent = learned ? learnedWords(words, deed, learned) : "";
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

/** What a key does now, and what it did before. */
function learnedWords(words, deed, { name, from }) {
  const told = { key: keyWords(words, name), deed: words.say(`keys_${deed}`) };
  if (!from) return words.say("keys_now", told);
  return words.say("keys_taken", { ...told, from: words.say(`keys_${from}`) });
}

function keyWords(words, name) {
  return words.words[`key.${name}`] ?? (name.length === 1 ? name.toUpperCase() : name);
}
