// "I lost count": what the maker sees is filled in, and the places that fit are offered.

import { placesThatFit, readNeedles, spansOf } from "./lost.js";
import { placeWords } from "./moment.js";
import { byId, made, problem } from "./page.js";
import { needleAt } from "./ring.js";
import { atHand } from "./sock.js";

const MM = { cm: 10, in: 25.4 };
const WELL = 1;
const FAIRLY = 2.5;

/** Make the panel work; gives what is to be done each time it opens. */
export function lostPanel(bench) {
  const { sock, words } = bench;
  const unit = sock.units === "in" ? "in" : "cm";
  byId("lost-length-label").textContent = words.say(`lost_length_${unit}`);
  const picker = pickRing(bench);
  byId("lost-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const seen = readSeen(bench, unit);
    if (seen) showFound(bench, placesThatFit(sock, seen));
    else byId("lost-found").hidden = true;
  });
  byId("lost-raised").addEventListener("input", () => {
    const read = readNeedles(byId("lost-raised").value, sock.needles);
    if (read) picker.show(read);
    byId("lost-none").checked = false;
  });
  byId("lost-none").addEventListener("change", (event) => {
    if (!event.target.checked) return;
    byId("lost-raised").value = "";
    picker.show(new Set());
  });
  return () => {
    // What was seen another time says nothing of now.
    byId("lost-form").reset();
    picker.show(new Set());
    byId("lost-found").hidden = true;
    problem("lost-problem", "");
  };
}

/** What was filled in; null, with the reason on the page, where it cannot be read. */
function readSeen(bench, unit) {
  const { sock, words } = bench;
  const refuse = (id) => {
    problem("lost-problem", words.say("lost_bad", { text: byId(id).value }));
    byId(id).focus();
    return null;
  };
  problem("lost-problem", "");
  const text = byId("lost-raised").value.trim();
  let raised = text ? readNeedles(text, sock.needles) : null;
  if (text && raised === null) return refuse("lost-raised");
  if (byId("lost-none").checked) raised = new Set();
  const passed = readNumber("lost-gap");
  const onRing = Number.isInteger(passed) && passed >= 0 && passed <= sock.needles;
  if (passed !== null && !onRing) return refuse("lost-gap");
  const length = readNumber("lost-length");
  if (length !== null && !(length > 0 && length < 1000)) return refuse("lost-length");
  return {
    raised,
    passed: passed === 0 ? sock.needles : passed,
    section: byId("lost-section").value,
    length_mm: length === null ? null : length * MM[unit],
    counted: bench.state.done,
  };
}

const readNumber = (id) => {
  const text = byId(id).value.trim().replace(",", ".");
  return text ? Number(text) : null;
};

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
    byId("lost").close();
    bench.tell(words.say("placed"));
  });
  line.append(text, go);
  return line;
}

/** A ring to draw along: a tap turns one needle, a stroke turns all it passes. */
function pickRing(bench) {
  const { sock } = bench;
  const svg = byId("ring").querySelector("svg").cloneNode(true);
  svg.querySelector(".bench-touches").replaceChildren();
  svg.querySelector(".bench-carrier").remove();
  for (const text of svg.querySelectorAll(".number.off")) text.classList.remove("off");
  svg.querySelector(".bench-ring").style.removeProperty("--turn");
  byId("lost-ring").append(svg);
  const needles = [...svg.querySelectorAll(".n")];
  const { data } = bench.view.ring;
  let up = new Set();
  const show = (next) => {
    up = next;
    needles.forEach((needle, place) => {
      const letter = up.has(place + 1) ? "r" : "w";
      needle.setAttribute("d", data[letter]);
      needle.setAttribute("class", `n ${letter}`);
    });
  };
  show(up);
  let from = null;
  let before = up;
  const reach = (event) => {
    const to = needleAt(svg, event, sock);
    const raising = !before.has(from);
    const next = new Set(before);
    for (const n of shortWay(from, to, sock.needles)) {
      if (raising) next.add(n);
      else next.delete(n);
    }
    show(next);
    byId("lost-none").checked = false;
    const sorted = [...up].sort((a, b) => a - b);
    byId("lost-raised").value = typed(sorted);
  };
  svg.addEventListener("pointerdown", (event) => {
    svg.setPointerCapture(event.pointerId);
    before = up;
    from = needleAt(svg, event, sock);
    reach(event);
  });
  svg.addEventListener("pointermove", (event) => {
    if (from !== null && event.buttons) reach(event);
  });
  svg.addEventListener("pointerup", () => {
    from = null;
  });
  return { show };
}

const typed = (numbers) =>
  spansOf(numbers)
    .map(([first, last]) => (first === last ? first : `${first}-${last}`))
    .join(", ");

/** The needles from one to another, the short way round. */
function shortWay(from, to, needles) {
  const on = (((to - from) % needles) + needles) % needles;
  const way = on <= needles / 2 ? 1 : -1;
  const count = way > 0 ? on : needles - on;
  const at = (k) => (((from - 1 + way * k) % needles) + needles) % needles;
  return Array.from({ length: count + 1 }, (_, k) => at(k) + 1);
}
