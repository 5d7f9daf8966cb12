// Words in the reader's language: filled in here, chosen by number where they depend on one.

import { spansOf } from "./lost.js";

/** @typedef {Record<string, string | number | undefined>} Fields */

export class Words {
  /**
   * @param {Record<string, string | string[]>} words
   * @param {string} language
   */
  constructor(words, language) {
    this.words = words;
    this.language = language;
  }

  /**
   * A phrase by its key, its fields filled in; `n` chooses between one and many.
   * @param {string} key
   * @param {Fields} fields
   */
  say(key, fields = {}) {
    const phrase = this.words[key];
    const template = Array.isArray(phrase) ? phrase[fields.n === 1 ? 0 : 1] : phrase;
    return this.fill(template, fields);
  }

  /**
   * @param {string} template
   * @param {Fields} fields
   */
  fill(template, fields) {
    return template.replace(/\{(\w+)\}/g, (_, name) => this.printed(fields[name]));
  }

  /** @param {Fields[string]} value */
  printed(value) {
    return typeof value === "number" ? this.number(value, 0) : String(value ?? "");
  }

  /**
   * A number with so many decimals and the language's sign.
   * @param {number} value
   * @param {number} digits
   */
  number(value, digits) {
    const text = value.toFixed(digits);
    return this.language === "de" ? text.replace(".", ",") : text;
  }

  /** Rising numbers as "1 to 4, 9 and 12". @param {number[]} numbers */
  needles(numbers) {
    if (!numbers.length) return this.say("none");
    const spans = spansOf(numbers).map(([first, last]) =>
      first === last ? String(first) : this.say("range", { first, last }),
    );
    if (spans.length < 2) return spans[0];
    return this.say("and", { some: spans.slice(0, -1).join(", "), last: spans.at(-1) });
  }

  /**
   * A moment as "30 Nov 2026, 20:27": with its month in letters no land reads it otherwise.
   * @param {string} time
   */
  moment(time) {
    /** @type {Intl.DateTimeFormatOptions} */
    const how = { day: "numeric", month: "short", year: "numeric", hour: "2-digit", minute: "2-digit" };
    return new Date(time).toLocaleString(this.language === "en" ? "en-GB" : this.language, how);
  }

  /** Seconds as "1 h 20 min", to five minutes where it is long. @param {number} seconds */
  time(seconds) {
    const minutes = seconds / 60;
    const rounded = minutes > 20 ? Math.round(minutes / 5) * 5 : Math.max(1, Math.round(minutes));
    const h = Math.floor(rounded / 60);
    return h ? this.say("hours", { h, min: rounded % 60 }) : this.say("minutes", { min: rounded });
  }
}
