// Short sounds and, where the browser can, speech: so that eyes stay on the needles.

/** @type {Record<"count" | "end" | "undo", [hertz: number, seconds: number][]>} */
const SOUNDS = {
  count: [[880, 0.05]],
  end: [[660, 0.1], [990, 0.18]],
  undo: [[330, 0.12]],
};
const LOUD = 0.25;

export class Voice {
  /** @param {string} language */
  constructor(language, { sound = true, speech = false } = {}) {
    this.language = language;
    this.sound = sound;
    this.speech = speech;
    /** @type {AudioContext | null} */
    this.audio = null;
    /** @type {OscillatorNode | null} */
    this.playing = null;
  }

  get canSpeak() {
    return "speechSynthesis" in window;
  }

  /** Play a sound; the sound card rests between two. @param {keyof typeof SOUNDS} name */
  play(name) {
    if (!this.sound || !window.AudioContext) return;
    this.audio ??= new AudioContext();
    const audio = this.audio;
    audio.resume();
    let at = audio.currentTime + 0.005;
    for (const [hertz, seconds] of SOUNDS[name]) {
      const tone = audio.createOscillator();
      const gain = audio.createGain();
      tone.frequency.value = hertz;
      gain.gain.setValueAtTime(LOUD, at);
      gain.gain.exponentialRampToValueAtTime(0.001, at + seconds);
      tone.connect(gain).connect(audio.destination);
      tone.start(at);
      at += seconds;
      tone.stop(at);
      this.playing = tone;
      tone.onended = () => {
        if (this.playing === tone) audio.suspend();
      };
    }
  }

  /** Say a text aloud, instead of what is still being said. @param {string} text */
  say(text) {
    if (!this.speech || !this.canSpeak || !text) return;
    speechSynthesis.cancel();
    const saying = new SpeechSynthesisUtterance(text);
    saying.lang = this.language;
    speechSynthesis.speak(saying);
  }
}
