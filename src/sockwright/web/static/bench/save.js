// The log saved as a file, or as text to copy: the way to the workshop from where it is not reached.

import { byId } from "./page.js";
import { inOrder } from "./log.js";
import { refusedList } from "./refused.js";

const WHAT = "sockwright bench log";
const VERSION = 1;
const USUAL = { by: 0, of: "", at: 0, text: "" };
const GONE_MS = 60000;

/** Stands where the workshop is not to be reached at all: a bench that was saved as a file. */
export class Alone {
  constructor() {
    this.state = "alone";
    this.stale = false;
  }

  now() {}

  soon() {}
}

/** An entry without what it says anyway. */
const short = (entry) =>
  Object.fromEntries(Object.entries(entry).filter(([name, value]) => USUAL[name] !== value));

/** The log as the workshop reads it, an entry a line. */
export function logText(entries, sock, which) {
  const lines = inOrder(entries).map((one) => JSON.stringify(short(one)));
  const head = JSON.stringify({ what: WHAT, version: VERSION, sock, which });
  return `${head.slice(0, -1)}, "entries": [\n${lines.join(",\n")}\n]}\n`;
}

function saveAsFile(text, name) {
  const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), GONE_MS);
}

/** Make the buttons work; gives what is to be done each time the panel opens. */
export function savePanel(bench) {
  const { sock, which } = document.body.dataset;
  const text = () => logText(bench.keep.all(), sock, which);
  const area = byId("log-text");
  const told = byId("log-told");
  for (const id of ["log-save", "unkept-save"]) {
    byId(id).addEventListener("click", () => saveAsFile(text(), byId("log-save").dataset.file));
  }
  const list = refusedList(bench);
  byId("log-copy").addEventListener("click", async () => {
    area.value = text();
    area.focus();
    area.select();
    try {
      await navigator.clipboard.writeText(area.value);
      told.textContent = bench.words.say("log_copied");
    } catch {
      told.textContent = bench.words.say("log_selected"); // what is selected can be copied by hand
    }
  });
  return () => {
    area.value = text();
    told.textContent = "";
    list();
  };
}
