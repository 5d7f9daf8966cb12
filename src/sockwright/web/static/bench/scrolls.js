// The parts of the page that scroll by themselves: shown from their beginning at each step, with a
// sign where they go on below, and within reach of Tab where there is something to scroll.

import { partsOf } from "./page.js";

const PARTS = ".b-head, .b-say, .b-more";
/** Less than this much of a line below is nothing to scroll for. */
const SLACK_PX = 6;

export class Scrolls {
  constructor() {
    this.parts = partsOf(document, PARTS, HTMLElement);
    this.waiting = false;
    for (const part of this.parts) {
      part.addEventListener("scroll", () => this.look(part), { passive: true });
    }
    addEventListener("resize", () => this.soon());
  }

  /** What stands in them was written, for another step where `fresh`. @param {boolean} fresh */
  shown(fresh) {
    if (fresh) for (const part of this.parts) part.scrollTop = 0;
    this.soon();
  }

  /** Look once the browser has laid out what was written. */
  soon() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      for (const part of this.parts) this.look(part);
    });
  }

  /** @param {HTMLElement} part */
  look(part) {
    const more = part.scrollHeight - part.clientHeight;
    part.classList.toggle("b-cut", more - part.scrollTop > SLACK_PX);
    if (more > SLACK_PX) part.tabIndex = 0;
    else part.removeAttribute("tabindex");
  }
}
