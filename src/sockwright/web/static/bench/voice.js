// Short sounds and, where the browser can, speech: so that eyes stay on the needles.

const SOUNDS = {
  count: [[880, 0.05]],
  end: [[660, 0.1], [990, 0.18]],
  undo: [[330, 0.12]],
};
const LOUD = 0.25;

export class Voice {
  constructor(language, { sound = true, speech = false } = {}) {
    this.language = language;
    this.sound = sound;
    this.speech = speech;
    this.audio = null;
  }

  get canSpeak() {
    return "speechSynthesis" in window;
  }

  /** Play one of SOUNDS; the sound card rests between two sounds. */
  play(name) {
    if (!this.sound || !window.AudioContext) return;
    this.audio ??= new AudioContext();
    const audio = this.audio;
    audio.resume();
    let at = audio.currentTime + 0.005;
    let last = null;
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
      last = tone;
    }
    this.playing = last;
    last.onended = () => {
      if (this.playing === last) audio.suspend();
    };
  }

  /** Say a text aloud, instead of what is still being said. */
  say(text) {
    if (!this.speech || !this.canSpeak || !text) return;
    speechSynthesis.cancel();
    const saying = new SpeechSynthesisUtterance(text);
    saying.lang = this.language;
    speechSynthesis.speak(saying);
  }
}
