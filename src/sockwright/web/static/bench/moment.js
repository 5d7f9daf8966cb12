// The moment at the machine in words: where the carrier is, which needles work, how far a part is.

import { atHand, gapAt, lookAt, needlesThat, passedAt } from "./sock.js";

/**
 * @import { Fields, Words } from "./say.js"
 * @import { Mishap, Sock } from "./sock.js"
 */

/** @param {Sock} sock */
const mover = (sock) => (sock.turns === "carrier" ? "carrier" : "needle");

/**
 * Where the carrier stands when so many beats are done.
 * @param {Sock} sock
 * @param {Words} words
 * @param {number} done
 */
export function placeWords(sock, words, done) {
  const key = `${mover(sock)}_${gapAt(sock, done) ? "at" : "home"}`;
  return words.say(key, { n: passedAt(sock, done) });
}

/**
 * Where it goes on to; "" where it stays.
 * @param {Sock} sock
 * @param {Words} words
 * @param {number} done
 */
export function thenWords(sock, words, done) {
  if (done >= sock.beats.length) return "";
  const n = passedAt(sock, done + 1);
  return n === passedAt(sock, done) ? "" : words.say(`then_${mover(sock)}`, { n });
}

/**
 * Where the carrier may be when something goes wrong: within a row it is only known to be on
 * its way.
 * @param {Sock} sock
 * @param {Words} words
 * @param {number} done
 */
function carrierWords(sock, words, done) {
  const { kind } = sock.beats[done] ?? { kind: "do" };
  if (kind === "do") return placeWords(sock, words, done);
  const ends = { start: passedAt(sock, done), n: passedAt(sock, done + 1) };
  return words.say(`${kind}_${mover(sock)}`, ends);
}

/**
 * The bed while the beat after so many is worked: what was to be moved before cranking is moved;
 * where nothing is cranked, it is as it was.
 * @param {Sock} sock
 * @param {number} done
 */
export function lookNow(sock, done) {
  const beat = sock.beats[done];
  return beat && beat.kind !== "do" ? sock.beds[beat.before] : lookAt(sock, done);
}

/**
 * The stages of hem and heel, as {hem, heel}.
 * @param {Sock} sock
 * @param {number} done
 */
export function stageAt(sock, done) {
  const [, hem, heel] = sock.stages.findLast(([from]) => from <= done) ?? sock.stages[0];
  return { hem, heel };
}

/**
 * What the ways back are filled in with.
 * @param {Sock} sock
 * @param {Words} words
 * @param {number} done
 * @returns {Fields}
 */
export function moment(sock, words, done) {
  const [look] = lookNow(sock, done);
  const touched = atHand(sock, done)?.touches.flatMap((each) => each.needles) ?? [];
  const heel = sock.heel_needles;
  const first = heel[0] ?? 1;
  const last = heel.at(-1) ?? sock.needles;
  return {
    carrier: carrierWords(sock, words, done),
    working: words.needles(needlesThat(look, "w")),
    raised: words.needles(needlesThat(look, "r")),
    waits: words.needles([...new Set(touched)].sort((a, b) => a - b)),
    heel_first: first,
    heel_last: last,
    before_heel: first === 1 ? sock.needles : first - 1,
    after_heel: last === sock.needles ? 1 : last + 1,
  };
}

/**
 * The ways back from a mishap at this moment, filled in; none where it cannot happen.
 * @param {Sock} sock
 * @param {Words} words
 * @param {Mishap} mishap
 * @param {number} done
 */
export function waysBack(sock, words, mishap, done) {
  const stage = mishap.part ? stageAt(sock, done)[mishap.part] : "";
  const fields = moment(sock, words, done);
  return (mishap.ways[stage] ?? []).map((step) => words.fill(step, fields));
}
