// A sock as the page got it: rows of numbers made into beats and instructions with names.

/** Rows as objects, by their columns. */
const named = (columns, rows) =>
  rows.map((row) => Object.fromEntries(columns.map((name, place) => [name, row[place]])));

/** "3wor" as "wwwor". */
export const expanded = (runs) =>
  runs.replace(/(\d*)([orw])/g, (_, n, letter) => letter.repeat(Number(n) || 1));

/** The data of sockwright/bench/sheet.py with texts put together and each beat knowing its own. */
export function readSock(data) {
  const text = (places) => places.map((place) => data.sentences[place]).join(" ");
  const instructions = named(data.instruction_columns, data.instructions).map((one, place) => ({
    ...one,
    number: place + 1,
    head: text(one.head),
    text: text(one.text),
    items: one.items.map(text),
    touches: one.touches.map(([deed, needles]) => ({ deed, needles })),
    sectionName: data.section_names[one.section],
  }));
  let nth = 0;
  const beats = named(data.beat_columns, data.beats).map((one, place, all) => {
    nth = place && all[place - 1].instruction === one.instruction ? nth + 1 : 1;
    const { kind, seconds, section, way } = instructions[one.instruction - 1];
    const own = { place: place + 1, nth, kind, way, seconds, section: data.sections[section] };
    return { ...one, ...own };
  });
  const beds = data.beds.map(([cylinder, dial]) => [expanded(cylinder), expanded(dial)]);
  for (const one of instructions) {
    one.first = beats.findIndex((beat) => beat.instruction === one.number);
  }
  return { ...data, instructions, beats, beds, travel: travels(beats, data.needles) };
}

/** Needles that the carrier has gone, forward ones less those in reverse, before each beat. */
function travels(beats, needles) {
  const far = [0];
  for (const beat of beats) far.push(far.at(-1) + stepOf(beat, needles));
  return far;
}

function stepOf(beat, needles) {
  const on = (((beat.gap - beat.gap_before) % needles) + needles) % needles;
  if (beat.kind === "do") return on > needles / 2 ? on - needles : on;
  if (beat.way < 0) return on ? on - needles : -needles;
  return on || needles;
}

/** The instruction that is to be done next, null when all is done. */
export function atHand(sock, done) {
  return done < sock.beats.length ? sock.instructions[sock.beats[done].instruction - 1] : null;
}

/** How the bed looks when so many beats are done: [cylinder, dial]. */
export function lookAt(sock, done) {
  return sock.beds[done ? sock.beats[done - 1].bed : sock.beats[0].before];
}

/** The gap the carrier stands at when so many beats are done. */
export const gapAt = (sock, done) =>
  done ? sock.beats[done - 1].gap : sock.beats[0].gap_before;

/** The needle that the carrier passed last when so many beats are done: 1 to all of them.
 *
 * The same gap has one needle before it going forward, and the next one in reverse.
 */
export function passedAt(sock, done) {
  const gap = gapAt(sock, done);
  return wayBefore(sock, done) < 0 ? gap + 1 : gap || sock.needles;
}

function wayBefore(sock, done) {
  for (let place = done - 1; place >= 0; place -= 1) {
    if (sock.beats[place].way) return sock.beats[place].way;
  }
  return 1;
}

/** Numbers of the needles with a letter in a look. */
export const needlesThat = (look, letter) =>
  [...look].flatMap((one, place) => (one === letter ? [place + 1] : []));
