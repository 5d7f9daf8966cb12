// Moves the drawing of the cylinder: only what changed since it was last shown.

import { partOf, partsOf } from "./page.js";
import { lookAt } from "./sock.js";

/** @import { Instruction, Look, Sock } from "./sock.js" */

const SVG = "http://www.w3.org/2000/svg";
const NUMBERED_TOUCHES = 4;
const NEAR_NUMBER = 2;
/** Numbers are this many needles apart at least, of so many on the ring: large ones, as a small
 * screen has them, and usual ones. */
const SHARE = { large: 20, usual: 40 };

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 */
const made = (name, attributes) => {
  const one = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, String(value));
  return one;
};

export class Ring {
  /**
   * @param {Element} figure
   * @param {Sock} sock
   */
  constructor(figure, sock) {
    this.sock = sock;
    this.root = partOf(figure, ".bench-cylinder", SVGElement);
    this.data = this.root.dataset;
    this.middle = { x: Number(this.data.cx), y: Number(this.data.cy) };
    /** How the numbers of needles run: 1 clockwise, -1 anticlockwise. */
    this.sense = Number(this.data.sense);
    this.home = Number(this.data.home);
    this.needles = partsOf(this.root, ".n", SVGElement);
    this.dial = partsOf(this.root, ".d", SVGElement);
    this.numbers = partsOf(this.root, "text.number", SVGElement);
    this.touches = partOf(this.root, ".bench-touches", SVGElement);
    const moving = this.data.turns === "carrier" ? ".bench-carrier" : ".bench-ring";
    this.moving = partOf(this.root, moving, SVGElement);
    /** @type {Look} */
    this.look = ["w".repeat(this.needles.length), ""];
    /** @type {Set<number>} */
    this.touched = new Set();
    /** @type {number | null} */
    this.deedsOf = null;
    this.colour = "";
    this.degrees = NaN;
  }

  /**
   * What a needle looks like, or what is done to it, as the data of a path.
   * @param {string} name
   */
  shape(name) {
    return this.data[name] ?? "";
  }

  /** Show how the machine stands when so many beats are done. @param {number} done */
  show(done) {
    const { sock } = this;
    const beat = sock.beats[Math.min(done, sock.beats.length - 1)];
    const ended = done >= sock.beats.length;
    this.showLook(lookAt(sock, done));
    this.turn(sock.travel[done]);
    const way = ended ? 0 : this.nextWay(done);
    this.set("way", way < 0 ? "reverse" : way > 0 ? "forward" : "none");
    this.paint(this.yarnAt(done)?.paint ?? "var(--paper)");
    const first = !ended && beat.nth === 1;
    this.touch(first ? sock.instructions[beat.instruction - 1] : null);
  }

  /**
   * @param {string} name
   * @param {string} value
   */
  set(name, value) {
    if (this.data[name] !== value) this.data[name] = value;
  }

  /** @param {string} colour */
  paint(colour) {
    if (colour === this.colour) return;
    this.colour = colour;
    this.root.style.setProperty("--yarn", colour);
  }

  /** The yarn in the carrier: that of the last instruction begun. @param {number} done */
  yarnAt(done) {
    const { beats, instructions, yarns } = this.sock;
    return done ? yarns[instructions[beats[done - 1].instruction - 1].yarn] : undefined;
  }

  /** @param {number} done */
  nextWay(done) {
    const beat = this.sock.beats.slice(done).find((one) => one.way);
    return beat ? beat.way : 0;
  }

  /** @param {Look} look */
  showLook(look) {
    const [cylinder, dial] = look;
    const [before, dialBefore] = this.look;
    for (let place = 0; place < cylinder.length; place += 1) {
      if (cylinder[place] !== before[place]) this.showNeedle(place + 1, cylinder[place]);
    }
    for (let place = 0; place < dial.length; place += 1) {
      if (dial[place] !== dialBefore[place]) {
        this.dial[place].setAttribute("class", dial[place] === "w" ? "d w" : "d");
      }
    }
    this.look = look;
  }

  /**
   * @param {number} n
   * @param {string} letter
   */
  showNeedle(n, letter) {
    const needle = this.needles[n - 1];
    needle.setAttribute("d", this.shape(letter));
    needle.setAttribute("class", `n ${letter}${this.touched.has(n) ? " now" : ""}`);
  }

  /**
   * Turn what turns so many needles forward; a whole round is a whole turn.
   * @param {number} needles
   */
  turn(needles) {
    const way = this.data.turns === "carrier" ? 1 : -1;
    const degrees = (way * this.sense * 360 * needles) / this.sock.needles;
    if (degrees === this.degrees) return;
    // From further off it comes at once: spinning there would say nothing.
    const near = Math.abs(degrees - this.degrees) <= 360.5;
    this.moving.classList.toggle("at-once", !near);
    this.degrees = degrees;
    this.moving.style.setProperty("--turn", `${degrees}deg`);
  }

  /**
   * Mark the needles that an instruction touches; null for none.
   * @param {Instruction | null} instruction
   */
  touch(instruction) {
    const touches = instruction?.touches ?? [];
    const key = instruction && touches.length ? instruction.number : null;
    if (key === this.deedsOf) return;
    this.deedsOf = key;
    const before = this.touched;
    this.touched = new Set(touches.flatMap((one) => one.needles));
    for (const n of before) if (!this.touched.has(n)) this.mark(n);
    for (const n of this.touched) if (!before.has(n)) this.mark(n);
    this.touches.replaceChildren(
      ...touches.flatMap(({ deed, needles }) => needles.map((n) => this.sign(deed, n))),
    );
    this.numberTouched();
  }

  /** @param {number} n */
  mark(n) {
    this.showNeedle(n, this.look[0][n - 1]);
  }

  /** @param {number} n */
  hourDegrees(n) {
    return this.home + (this.sense * 360 * (n - 0.5)) / this.sock.needles;
  }

  /**
   * @param {string} deed
   * @param {number} n
   */
  sign(deed, n) {
    const transform = `rotate(${this.hourDegrees(n)} ${this.middle.x} ${this.middle.y})`;
    return made("path", { class: `sign ${deed}`, d: this.shape(deed), transform });
  }

  /** Say the numbers of a few touched needles on the ring, instead of those close by. */
  numberTouched() {
    const few = this.touched.size <= NUMBERED_TOUCHES ? [...this.touched] : [];
    /**
     * @param {number} n
     * @param {number} other
     */
    const near = (n, other, share = SHARE.usual) => {
      const apart = Math.abs(n - other) % this.sock.needles;
      return Math.min(apart, this.sock.needles - apart) <= this.nearNumber(share);
    };
    for (const text of this.numbers) {
      const share = text.closest(".on-small") ? SHARE.large : SHARE.usual;
      const hidden = few.some((n) => near(n, Number(text.dataset.n), share));
      const kind = hidden ? "number off" : "number";
      if (text.getAttribute("class") !== kind) text.setAttribute("class", kind);
    }
    // Neighbours would write over each other: they are named together.
    /** @type {number[][]} */
    const groups = [];
    for (const n of [...few].sort((a, b) => a - b)) {
      const group = groups.find((one) => one.some((other) => near(n, other)));
      if (group) group.push(n);
      else groups.push([n]);
    }
    this.touches.append(...groups.map((one) => this.numbersAt(one)));
  }

  /** @param {number} share */
  nearNumber(share) {
    return Math.max(NEAR_NUMBER, Math.ceil(this.sock.needles / share));
  }

  /** @param {number[]} group */
  numbersAt(group) {
    const [far, type] = [Number(this.data.numbers), Number(this.data.type)];
    // Over the home gap the last needle is the neighbour of the first.
    const half = this.sock.needles / 2;
    const over = group[group.length - 1] - group[0] > half;
    const along = group.map((n) => (over && n > half ? n - this.sock.needles : n));
    along.sort((a, b) => a - b);
    const middle = along.reduce((sum, n) => sum + n, 0) / along.length;
    const angle = (this.hourDegrees(middle) * Math.PI) / 180;
    const text = made("text", {
      class: "touched",
      x: this.middle.x + far * Math.sin(angle),
      y: this.middle.y - far * Math.cos(angle) + 0.335 * type,
      "font-size": type,
      "text-anchor": "middle",
    });
    text.textContent = along.map((n) => (n > 0 ? n : n + this.sock.needles)).join(" ");
    return text;
  }

  /**
   * The needle at a point of such a drawing, by its direction from the middle; for taps.
   * @param {Element} svg
   * @param {PointerEvent} event
   */
  needleAt(svg, event) {
    const box = svg.getBoundingClientRect();
    const x = event.clientX - (box.left + box.width / 2);
    const y = event.clientY - (box.top + box.height / 2);
    const degrees = (Math.atan2(x, -y) * 180) / Math.PI;
    const along = (((degrees - this.home) * this.sense) % 360 + 360) % 360;
    const { needles } = this.sock;
    return Math.min(needles, Math.floor((along * needles) / 360) + 1);
  }
}
