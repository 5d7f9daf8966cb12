// Keeps the screen awake while the page is seen; browsers let secure pages only.

export class Awake {
  /** @param {(told: "on" | "off" | "refused") => void} told */
  constructor(told) {
    this.told = told;
    this.wanted = false;
    /** @type {WakeLockSentinel | null} */
    this.lock = null;
    document.addEventListener("visibilitychange", () => {
      if (!document.hidden) this.take();
    });
  }

  get possible() {
    return isSecureContext && "wakeLock" in navigator;
  }

  /** Wish for it or not; `told` hears "on", "off" or "refused". @param {boolean} wanted */
  want(wanted) {
    this.wanted = wanted;
    if (wanted) return this.take();
    this.lock?.release();
    this.lock = null;
    this.told("off");
    return undefined;
  }

  async take() {
    if (!this.wanted || !this.possible || document.hidden) return;
    try {
      this.lock = await navigator.wakeLock.request("screen");
      this.told("on");
    } catch {
      this.told("refused");
    }
  }
}
