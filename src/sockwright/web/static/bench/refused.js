// What the workshop refused, one by one: why, and a way to mend it or to let it go.

import { byId, made } from "./page.js";

const WRITTEN = ["note", "deviation"];
/** Signs that no text may have. Nobody sees them, so nobody can delete them by hand: controls but
 * tab and line feed, halves of signs, those that turn the way a text is read. */
const UNSEEN = /(?![\n\t])[\p{Cc}\p{Cs}\u202a-\u202e\u2066-\u2069]/gu;

/** Make the list work; gives what fills it. */
export function refusedList(bench) {
  const list = byId("refused-list");
  const fill = () => {
    const { refused, entries } = bench.keep;
    byId("refused").hidden = !refused.size;
    const lines = [...refused].map(([id, problems]) => line(bench.words, entries.get(id), problems));
    list.replaceChildren(...lines);
  };
  list.addEventListener("click", (event) => {
    const { again, drop } = event.target.dataset;
    if (!again && !drop) return;
    if (drop) bench.keep.drop(drop);
    else bench.keep.mend(again, byId(`refused-${again}`)?.value.trim() ?? bench.keep.entries.get(again).text);
    bench.show();
    if (again) bench.sync.now().then(fill);
    fill();
    (list.querySelector("textarea, button") ?? byId("state-told")).focus();
  });
  return fill;
}

function line(words, entry, problems) {
  const time = words.moment(entry.time);
  const written = WRITTEN.includes(entry.deed);
  const reason = made("p", problems.map((one) => `${one.wrong}; ${one.right}`).join(" "), {
    id: `refused-why-${entry.id}`,
    className: "problem",
  });
  const clean = entry.text.replace(UNSEEN, "");
  const text = made("textarea", clean, { id: `refused-${entry.id}` });
  const told = clean === entry.text ? "" : byId("refused-list").dataset.clean;
  const hint = made("p", told, { id: `refused-clean-${entry.id}`, className: "hint", hidden: !told });
  text.setAttribute("aria-describedby", `${reason.id} ${hint.id}`);
  text.setAttribute("aria-invalid", String(!told));
  const what = words.say(written ? "refused_note" : "refused_other", { time });
  const head = written ? made("label", what, { htmlFor: text.id }) : made("p", what);
  const again = made("button", words.say("refused_again"), { type: "button", className: "main" });
  again.dataset.again = entry.id;
  const drop = made("button", words.say("refused_drop"), { type: "button" });
  drop.dataset.drop = entry.id;
  const ways = made("p", "", { className: "buttons" });
  ways.append(again, " ", drop);
  const one = made("li");
  one.append(head, reason, ...(written ? [hint, text] : []), ways);
  return one;
}
