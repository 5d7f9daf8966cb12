// What the workshop refused, one by one: why, and a way to mend it or to let it go.

import { around, byId, made } from "./page.js";

/**
 * @import { Bench } from "./bench.js"
 * @import { Problem } from "./keep.js"
 * @import { Entry } from "./log.js"
 * @import { Words } from "./say.js"
 */

const WRITTEN = ["note", "deviation"];
/** Signs that no text may have. Nobody sees them, so nobody can delete them by hand: controls but
 * tab and line feed, halves of signs, those that turn the way a text is read. */
const UNSEEN = /(?![\n\t])[\p{Cc}\p{Cs}\u202a-\u202e\u2066-\u2069]/gu;

/** Make the list work; gives what fills it. @param {Bench} bench */
export function refusedList(bench) {
  const list = byId("refused-list");
  const fill = () => {
    const { refused, entries } = bench.keep;
    byId("refused").hidden = !refused.size;
    const lines = [...refused].map(([id, problems]) => {
      const entry = entries.get(id);
      return entry ? [line(bench.words, entry, problems)] : [];
    });
    list.replaceChildren(...lines.flat());
  };
  list.addEventListener("click", (event) => {
    const { again, drop } = around(event, "button")?.dataset ?? {};
    if (drop) bench.keep.drop(drop);
    else if (again) bench.keep.mend(again, written(again));
    else return;
    bench.show();
    if (again) bench.sync.now().then(fill);
    fill();
    /** @type {HTMLElement | null} */
    const next = list.querySelector("textarea, button");
    (next ?? byId("state-told")).focus();
  });
  return fill;
}

/** The text that an entry is to have instead; undefined where it had none. @param {string} id */
function written(id) {
  const text = document.getElementById(`refused-${id}`);
  return text instanceof HTMLTextAreaElement ? text.value.trim() : undefined;
}

/**
 * @param {Words} words
 * @param {Entry} entry
 * @param {Problem[]} problems
 */
function line(words, entry, problems) {
  const time = words.moment(entry.time);
  const noted = WRITTEN.includes(entry.deed);
  const reason = made("p", problems.map((one) => `${one.wrong}; ${one.right}`).join(" "), {
    id: `refused-why-${entry.id}`,
    className: "problem",
  });
  const clean = entry.text.replace(UNSEEN, "");
  const text = made("textarea", clean, { id: `refused-${entry.id}` });
  const told = clean === entry.text ? "" : byId("refused-list").dataset.clean ?? "";
  const hint = made("p", told, { id: `refused-clean-${entry.id}`, className: "hint", hidden: !told });
  text.setAttribute("aria-describedby", `${reason.id} ${hint.id}`);
  text.setAttribute("aria-invalid", String(!told));
  const what = words.say(noted ? "refused_note" : "refused_other", { time });
  const head = noted ? made("label", what, { htmlFor: text.id }) : made("p", what);
  const again = made("button", words.say("refused_again"), { type: "button", className: "main" });
  again.dataset.again = entry.id;
  const drop = made("button", words.say("refused_drop"), { type: "button" });
  drop.dataset.drop = entry.id;
  const ways = made("p", "", { className: "buttons" });
  ways.append(again, " ", drop);
  const one = made("li");
  one.append(head, reason, ...(noted ? [hint, text] : []), ways);
  return one;
}
