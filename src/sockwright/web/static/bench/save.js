// The log saved as a file, or as text to copy: the way to the workshop from where it is not reached.

import { byId, textById } from "./page.js";
import { inOrder } from "./log.js";
import { refusedList } from "./refused.js";

/**
 * @import { Bench } from "./bench.js"
 * @import { Entry } from "./log.js"
 * @import { Standing } from "./sync.js"
 */

const WHAT = "sockwright bench log";
const VERSION = 1;
/** @type {Record<string, string | number>} */
const USUAL = { by: 0, of: "", at: 0, text: "" };
const GONE_MS = 60000;

/** Stands where the workshop is not to be reached at all: a bench that was saved as a file. */
export class Alone {
  /** @type {Standing} */
  state = "alone";
  stale = false;

  async now() {}

  async fresh() {}

  soon() {}
}

/** An entry without what it says anyway. @param {Entry} entry */
const short = (entry) =>
  Object.fromEntries(Object.entries(entry).filter(([name, value]) => USUAL[name] !== value));

/**
 * The log as the workshop reads it, an entry a line.
 * @param {Entry[]} entries
 * @param {string} sock
 * @param {string} which
 */
export function logText(entries, sock, which) {
  const lines = inOrder(entries).map((one) => JSON.stringify(short(one)));
  const head = JSON.stringify({ what: WHAT, version: VERSION, sock, which });
  return `${head.slice(0, -1)}, "entries": [\n${lines.join(",\n")}\n]}\n`;
}

/**
 * @param {string} text
 * @param {string} name
 */
function saveAsFile(text, name) {
  const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), GONE_MS);
}

/**
 * Make the buttons work; gives what is to be done each time the panel opens.
 * @param {Bench} bench
 */
export function savePanel(bench) {
  const { sock = "", which = "" } = document.body.dataset;
  const text = () => logText(bench.keep.all(), sock, which);
  const area = textById("log-text");
  const told = byId("log-told");
  const { file = "" } = byId("log-save").dataset;
  for (const id of ["log-save", "unkept-save"]) {
    byId(id).addEventListener("click", () => saveAsFile(text(), file));
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
