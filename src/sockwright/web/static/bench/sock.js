// A sock as the page got it: rows of numbers made into beats and instructions with names.

/**
 * @typedef {"round" | "row" | "do"} Kind what is counted
 * @typedef {{deed: string, needles: number[]}} Touch
 * @typedef {[cylinder: string, dial: string]} Look a letter a needle: w, r or o
 * @typedef {[number: number, by: number][]} Rounds rounds more and fewer by instruction
 * @typedef {{needle_seen_sd: number, gap_seen_sd: number, length_on_machine: number,
 *   length_seen_sd: number, length_read_sd: number, lost_off_most: number, count_astray: number,
 *   debounce_ms: number, pause_seconds: number, pace_counts: number, session_hours: number}} Facts
 * @typedef {{name: string, paint: string, g_per_m: number, on_hand_g: number | null,
 *   earlier_g: number, sock_g: number, later_g: number, stays: boolean}} Yarn
 * @typedef {{key: string, title: string, part: "" | "hem" | "heel",
 *   ways: Record<string, string[]>}} Mishap
 * @typedef {string | [value: number, each: number, by: number[]]} Piece of a sentence
 *
 * @typedef {{instruction: number, count: number, before: number, bed: number, gap_before: number,
 *   gap: number, passed: number, used_mm: number, length_mm: number}} BeatRow
 * @typedef {BeatRow & {place: number, nth: number, kind: Kind, way: number, seconds: number,
 *   section: string}} Beat
 * @typedef {{section: number, kind: Kind, beats: number, of: number, way: number, yarn: string,
 *   seconds: number, standing: number, may_vary: number}} Told what an instruction says of itself
 * @typedef {{head: number[], text: number[], items: number[][]}} Places of its sentences
 * @typedef {Told & Places & {touches: [deed: string, needles: number[]][]}} InstructionRow
 * @typedef {Told & {number: number, places: Places, touches: Touch[], sectionName: string,
 *   first: number, head: string, text: string, items: string[]}} Instruction
 *
 * @typedef {{language: string, units: string, needles: number, turns: string, sense: number,
 *   sections: string[], section_names: string[], off: number, beds: Look[],
 *   yarns: Record<string, Yarn>, stages: [done: number, hem: string, heel: string][],
 *   heel_needles: number[], advice: [number: number, kind: string, setting: string][],
 *   facts: Facts, mishaps: Mishap[], words: Record<string, string | string[]>,
 *   follows: Rounds | null, asides: Record<string, string[]>,
 *   sentences: (string | Piece[])[]}} Plan what the page takes as it got it
 * @typedef {Plan & {instruction_columns: string[], instructions: unknown[][],
 *   beat_columns: string[], beats: unknown[][]}} Data
 * @typedef {Plan & {instructions: Instruction[], beats: Beat[], travel: number[]}} Sock
 */

/**
 * Rows as objects, by their columns.
 * @param {string[]} columns
 * @param {unknown[][]} rows
 */
const named = (columns, rows) =>
  rows.map((row) => Object.fromEntries(columns.map((name, place) => [name, row[place]])));

/** "3wor" as "wwwor". @param {string} runs */
export const expanded = (runs) =>
  runs.replace(/(\d*)([orw])/g, (_, n, letter) => letter.repeat(Number(n) || 1));

/**
 * The data of sockwright/bench/page_data.py with texts put together and each beat knowing its own.
 * @param {Data} data
 * @returns {Sock}
 */
export function readSock(data) {
  const told = /** @type {InstructionRow[]} */ (named(data.instruction_columns, data.instructions));
  const instructions = told.map(({ head, text, items, touches, ...one }, place) => ({
    ...one,
    number: place + 1,
    places: { head, text, items },
    touches: touches.map(([deed, needles]) => ({ deed, needles })),
    sectionName: data.section_names[one.section],
    ...{ first: 0, head: "", text: "", items: /** @type {string[]} */ ([]) },
  }));
  let nth = 0;
  const rows = /** @type {BeatRow[]} */ (named(data.beat_columns, data.beats));
  const beats = rows.map((one, place, all) => {
    nth = place && all[place - 1].instruction === one.instruction ? nth + 1 : 1;
    const { kind, seconds, section, way } = instructions[one.instruction - 1];
    const own = { place: place + 1, nth, kind, way, seconds, section: data.sections[section] };
    return { ...one, ...own };
  });
  /** @type {Look[]} */
  const beds = data.beds.map(([cylinder, dial]) => [expanded(cylinder), expanded(dial)]);
  for (const one of instructions) {
    one.first = beats.findIndex((beat) => beat.instruction === one.number);
  }
  const sock = { ...data, instructions, beats, beds, travel: travels(beats, data.needles) };
  tell(sock, []);
  return sock;
}

/**
 * Put the texts of all instructions together for rounds more and fewer.
 * @param {Sock} sock
 * @param {Rounds} extra
 */
export function tell(sock, extra) {
  const rounds = new Map(extra);
  const figures = new Intl.NumberFormat(sock.language, {
    maximumFractionDigits: 1,
    useGrouping: false,
  });
  /** @param {Piece} one */
  const piece = (one) => {
    if (typeof one === "string") return one;
    const [value, each, by] = one;
    const more = by.reduce((sum, number) => sum + (rounds.get(number) ?? 0), 0);
    return figures.format(value + each * more);
  };
  /** @param {number} place */
  const sentence = (place) => {
    const told = sock.sentences[place];
    return typeof told === "string" ? told : told.map(piece).join("");
  };
  /** @param {number[]} places */
  const text = (places) => places.map(sentence).join(" ");
  for (const one of sock.instructions) {
    one.head = text(one.places.head);
    one.text = text(one.places.text);
    one.items = one.places.items.map(text);
  }
}

/**
 * Needles that the carrier has gone, forward ones less those in reverse, before each beat.
 * @param {Beat[]} beats
 * @param {number} needles
 */
function travels(beats, needles) {
  const far = [0];
  for (const beat of beats) far.push(far[far.length - 1] + stepOf(beat, needles));
  return far;
}

/**
 * @param {Beat} beat
 * @param {number} needles
 */
function stepOf(beat, needles) {
  const on = (((beat.gap - beat.gap_before) % needles) + needles) % needles;
  if (beat.kind === "do") return on > needles / 2 ? on - needles : on;
  if (beat.way < 0) return on ? on - needles : -needles;
  return on || needles;
}

/**
 * The instruction that is to be done next, null when all is done.
 * @param {Sock} sock
 * @param {number} done
 */
export function atHand(sock, done) {
  return done < sock.beats.length ? sock.instructions[sock.beats[done].instruction - 1] : null;
}

/**
 * How the bed looks when so many beats are done: [cylinder, dial].
 * @param {Sock} sock
 * @param {number} done
 */
export function lookAt(sock, done) {
  return sock.beds[done ? sock.beats[done - 1].bed : sock.beats[0].before];
}

/**
 * The gap the carrier stands at when so many beats are done.
 * @param {Sock} sock
 * @param {number} done
 */
export const gapAt = (sock, done) =>
  done ? sock.beats[done - 1].gap : sock.beats[0].gap_before;

/**
 * The needle that the carrier passed last when so many beats are done.
 * @param {Sock} sock
 * @param {number} done
 */
export const passedAt = (sock, done) => (done ? sock.beats[done - 1].passed : sock.needles);

/**
 * Numbers of the needles with a letter in a look.
 * @param {string} look
 * @param {string} letter
 */
export const needlesThat = (look, letter) =>
  [...look].flatMap((one, place) => (one === letter ? [place + 1] : []));
