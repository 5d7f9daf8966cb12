// Brings the entries of this device to the workshop and those of others here.
//
// Nothing runs while nothing happens: it is asked after each count, when the page is seen again and
// when it is touched after a while, and tries again by itself only while something waits, the page is seen and there is a network.

const FIRST_WAIT_MS = 2000;
const LONGEST_WAIT_MS = 60000;
const GATHER_MS = 700;
const MOST = 500;
const STALE_MS = 5000;
const PATIENCE_MS = 1500;

/** Whether there is a network, as far as the device knows. */
const online = () => navigator.onLine !== false;

/**
 * @import { Keep } from "./keep.js"
 * @import { Entry } from "./log.js"
 * @typedef {"done" | "here" | "off" | "refused" | "enter" | "alone"} Standing where the count is kept
 */

export class Sync {
  /**
   * `told` is called when the state changes, `news` when others counted.
   * @param {string} address
   * @param {Keep} keep
   * @param {{told: () => void, news: () => void}} hear
   */
  constructor(address, keep, { told, news }) {
    this.address = address;
    this.keep = keep;
    this.told = told;
    this.news = news;
    this.wait = FIRST_WAIT_MS;
    this.timer = 0;
    /** @type {Promise<void> | null} */
    this.running = null;
    this.asked = -Infinity;
    /** @type {Standing} */
    this.state = keep.unsent.size ? "here" : "done";
    addEventListener("online", () => this.now());
    addEventListener("offline", () => this.tell("off"));
    document.addEventListener("visibilitychange", () => {
      if (document.hidden) this.stop();
      else this.now();
    });
    // A screen that only watched is brought up to date by the first touch, and not before: to ask
    // all the time would cost its battery.
    for (const touch of ["pointerdown", "keydown", "focus"]) {
      addEventListener(touch, () => this.stale && this.now(), true);
    }
  }

  /** Something new is to be sent: soon, together with what follows at once. */
  soon() {
    if (this.state === "done") this.tell("here");
    if (!this.timer && !this.running) this.after(GATHER_MS);
  }

  /** @param {number} ms */
  after(ms) {
    this.stop();
    if (document.hidden || !online()) return;
    this.timer = setTimeout(() => this.now(), ms);
  }

  stop() {
    clearTimeout(this.timer);
    this.timer = 0;
  }

  /** @param {Standing} state */
  tell(state) {
    this.state = state;
    this.told();
  }

  /** Whether another device may have counted since the workshop was asked last. */
  get stale() {
    const reached = online() && this.state !== "enter";
    return reached && performance.now() - this.asked > STALE_MS;
  }

  /** What the workshop has, where it answers soon. */
  fresh() {
    const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
    return Promise.race([this.now(), late]);
  }

  /** Send what waits and take what is there. */
  now() {
    this.stop();
    this.running ??= this.run().finally(() => {
      this.running = null;
    });
    return this.running;
  }

  async run() {
    if (!online()) {
      this.tell("off");
      return;
    }
    const answered = await this.exchange();
    // The network may be gone since.
    const state = online() ? answered : "off";
    this.asked = performance.now();
    // What was counted while the workshop was asked is not there yet.
    const more = state === "done" && this.keep.waiting().length > 0;
    this.tell(more ? "here" : state);
    if (state === "done") {
      this.wait = FIRST_WAIT_MS;
      if (more) this.after(GATHER_MS);
    } else if (state !== "enter") {
      this.after(this.wait);
      this.wait = Math.min(2 * this.wait, LONGEST_WAIT_MS);
    }
  }

  /** @returns {Promise<Standing>} */
  async exchange() {
    const sent = this.keep.waiting().slice(0, MOST);
    try {
      const answer = await this.send(sent);
      if (answer.status === 401 || answer.redirected) return "enter";
      // Where all that was sent was refused, each with its reason, the answer is a refusal too.
      if (!answer.ok && answer.status !== 422) return "refused";
      /** @type {{entries?: Entry[], refused?: import("./keep.js").Refusal[]}} */
      const { entries, refused } = await answer.json();
      if (!entries) return "refused";
      const news = this.keep.receive(entries);
      this.keep.refuse(refused ?? [], sent, Math.max(0, ...entries.map((one) => one.clock)));
      if (news) this.news();
      return "done";
    } catch {
      return "off";
    }
  }

  /** @param {Entry[]} entries */
  send(entries) {
    return fetch(this.address, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ entries }),
      cache: "no-store",
    });
  }
}
