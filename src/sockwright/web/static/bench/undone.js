// What an undo took back, in words.

/**
 * Of a count, a place, or rounds more or fewer.
 * @param {import("./say.js").Words} words
 * @param {import("./log.js").Entry} entry
 */
export function takenBackWords(words, entry) {
  if (entry.deed === "count") return words.say("undo_count", { n: entry.by });
  if (entry.deed === "place") return words.say("undo_place");
  return words.say(entry.by > 0 ? "undo_more" : "undo_fewer", { n: Math.abs(entry.by) });
}
