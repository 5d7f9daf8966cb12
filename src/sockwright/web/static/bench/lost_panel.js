// "I lost count": what the maker sees is filled in, and the places that fit are offered.

import { placesThatFit, readNeedles, spansOf } from "./lost.js";
import { placeWords } from "./moment.js";
import {
  byId,
  dialogById,
  formById,
  inputById,
  made,
  partOf,
  partsOf,
  problem,
  selectById,
} from "./page.js";
import { atHand } from "./sock.js";

/**
 * @import { Bench } from "./bench.js"
 * @import { Guess, Seen } from "./lost.js"
 */

const MM = { cm: 10, in: 25.4 };
const WELL = 1;
const FAIRLY = 2.5;

/** Make the panel work; gives what is to be done each time it opens. @param {Bench} bench */
export function lostPanel(bench) {
  const { sock, words } = bench;
  const unit = sock.units === "in" ? "in" : "cm";
  byId("lost-length-label").textContent = words.say(`lost_length_${unit}`);
  const picker = pickRing(bench);
  const form = formById("lost-form");
  const raised = inputById("lost-raised");
  const none = inputById("lost-none");
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const seen = readSeen(bench, unit);
    if (seen) showFound(bench, placesThatFit(sock, seen));
    else byId("lost-found").hidden = true;
  });
  raised.addEventListener("input", () => {
    const read = readNeedles(raised.value, sock.needles);
    if (read) picker.show(read);
    none.checked = false;
  });
  none.addEventListener("change", () => {
    if (!none.checked) return;
    raised.value = "";
    picker.show(new Set());
  });
  return () => {
    // What was seen another time says nothing of now.
    form.reset();
    picker.show(new Set());
    byId("lost-found").hidden = true;
    problem("lost-problem", "");
  };
}

/**
 * What was filled in; null, with the reason on the page, where it cannot be read.
 * @param {Bench} bench
 * @param {keyof typeof MM} unit
 * @returns {Seen | null}
 */
function readSeen(bench, unit) {
  const { sock, words } = bench;
  /** @param {string} id */
  const refuse = (id) => {
    problem("lost-problem", words.say("lost_bad", { text: inputById(id).value }));
    byId(id).focus();
    return null;
  };
  problem("lost-problem", "");
  const text = inputById("lost-raised").value.trim();
  let raised = text ? readNeedles(text, sock.needles) : null;
  if (text && raised === null) return refuse("lost-raised");
  if (inputById("lost-none").checked) raised = new Set();
  const passed = readNumber("lost-gap");
  const onRing = passed === null
    || (Number.isInteger(passed) && passed >= 0 && passed <= sock.needles);
  if (!onRing) return refuse("lost-gap");
  const length = readNumber("lost-length");
  if (length !== null && !(length > 0 && length < 1000)) return refuse("lost-length");
  return {
    raised,
    passed: passed === 0 ? sock.needles : passed,
    section: selectById("lost-section").value,
    length_mm: length === null ? null : length * MM[unit],
    counted: bench.state.done,
  };
}

/** @param {string} id */
const readNumber = (id) => {
  const text = inputById(id).value.trim().replace(",", ".");
  return text ? Number(text) : null;
};

/**
 * @param {Bench} bench
 * @param {Guess[]} guesses
 */
function showFound(bench, guesses) {
  const { words } = bench;
  const found = byId("lost-found");
  const list = made("ol", "", { className: "b-found" });
  for (const guess of guesses) list.append(guessLine(bench, guess));
  found.replaceChildren(
    made("h3", words.say("lost_fits")),
    guesses.length ? list : made("p", words.say("lost_nothing")),
  );
  found.hidden = false;
  found.focus();
}

/**
 * @param {Bench} bench
 * @param {Guess} guess
 */
function guessLine(bench, { done, off }) {
  const { words, sock } = bench;
  const line = made("li");
  const beat = sock.beats[done - 1];
  const one = sock.instructions[beat.instruction - 1];
  const of = one.of || one.beats;
  const unit = words.say(beat.kind === "row" ? "rows_done" : "rounds_done");
  const count = one.of ? beat.count : beat.nth;
  const counted = `${count} ${words.say("of", { of })} ${unit}`;
  const step = words.say("step_of", { n: one.number, of: sock.instructions.length });
  const fit = words.say(off < WELL ? "fit_well" : off < FAIRLY ? "fit_fair" : "fit_poor");
  const next = atHand(sock, done);
  const text = made("p");
  text.append(
    made("strong", `${one.sectionName}: ${beat.kind === "do" ? step : counted}`),
    made("br"),
    `${placeWords(sock, words, done)} `,
    next ? words.say("next", { what: next.head || next.text }) : "",
    made("br"),
    made("em", fit),
  );
  const go = made("button", words.say("go_there"), { type: "button" });
  go.addEventListener("click", () => {
    bench.add("place", { at: done });
    dialogById("lost").close();
    bench.tell(words.say("placed"));
  });
  line.append(text, go);
  return line;
}

/**
 * A ring to draw along: a tap turns one needle, a stroke turns all it passes.
 * @param {Bench} bench
 */
function pickRing(bench) {
  const { sock } = bench;
  byId("lost-ring").append(partOf(byId("ring"), "svg", SVGSVGElement).cloneNode(true));
  const svg = partOf(byId("lost-ring"), "svg", SVGSVGElement);
  partOf(svg, ".bench-touches", SVGElement).replaceChildren();
  partOf(svg, ".bench-carrier", SVGElement).remove();
  for (const text of svg.querySelectorAll(".number.off")) text.classList.remove("off");
  partOf(svg, ".bench-ring", SVGElement).style.removeProperty("--turn");
  const needles = [...svg.querySelectorAll(".n")];
  const { ring } = bench.view;
  /** @type {Set<number>} */
  let up = new Set();
  /** @param {Set<number>} next */
  const show = (next) => {
    up = next;
    needles.forEach((needle, place) => {
      const letter = up.has(place + 1) ? "r" : "w";
      needle.setAttribute("d", ring.shape(letter));
      needle.setAttribute("class", `n ${letter}`);
    });
  };
  show(up);
  /** @type {number | null} */
  let from = null;
  let before = up;
  /**
   * @param {PointerEvent} event
   * @param {number} first
   */
  const reach = (event, first) => {
    const to = ring.needleAt(svg, event);
    const raising = !before.has(first);
    const next = new Set(before);
    for (const n of shortWay(first, to, sock.needles)) {
      if (raising) next.add(n);
      else next.delete(n);
    }
    show(next);
    inputById("lost-none").checked = false;
    const sorted = [...up].sort((a, b) => a - b);
    inputById("lost-raised").value = typed(sorted);
  };
  svg.addEventListener("pointerdown", (event) => {
    svg.setPointerCapture(event.pointerId);
    before = up;
    from = ring.needleAt(svg, event);
    reach(event, from);
  });
  svg.addEventListener("pointermove", (event) => {
    if (from !== null && event.buttons) reach(event, from);
  });
  svg.addEventListener("pointerup", () => {
    from = null;
  });
  return { show };
}

/** @param {number[]} numbers */
const typed = (numbers) =>
  spansOf(numbers)
    .map(([first, last]) => (first === last ? first : `${first}-${last}`))
    .join(", ");

/**
 * The needles from one to another, the short way round.
 * @param {number} from
 * @param {number} to
 * @param {number} needles
 */
function shortWay(from, to, needles) {
  const on = (((to - from) % needles) + needles) % needles;
  const way = on <= needles / 2 ? 1 : -1;
  const count = way > 0 ? on : needles - on;
  /** @param {number} k */
  const at = (k) => (((from - 1 + way * k) % needles) + needles) % needles;
  return Array.from({ length: count + 1 }, (_, k) => at(k) + 1);
}
