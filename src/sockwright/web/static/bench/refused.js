// What the workshop refused, one by one: why, and a way to mend it or to let it go.

import { byId, made } from "./page.js";

const WRITTEN = ["note", "deviation"];

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
  const time = new Date(entry.time).toLocaleString(words.language);
  const written = WRITTEN.includes(entry.deed);
  const reason = made("p", problems.map((one) => `${one.wrong}; ${one.right}`).join(" "), {
    id: `refused-why-${entry.id}`,
    className: "problem",
  });
  const text = made("textarea", entry.text, { id: `refused-${entry.id}` });
  text.setAttribute("aria-describedby", reason.id);
  const what = words.say(written ? "refused_note" : "refused_other", { time });
  const head = written ? made("label", what, { htmlFor: text.id }) : made("p", what);
  const again = made("button", words.say("refused_again"), { type: "button", className: "main" });
  again.dataset.again = entry.id;
  const drop = made("button", words.say("refused_drop"), { type: "button" });
  drop.dataset.drop = entry.id;
  const ways = made("p", "", { className: "buttons" });
  ways.append(again, " ", drop);
  const one = made("li");
  one.append(head, ...(written ? [text] : []), reason, ways);
  return one;
}
