// A sock as the page got it: rows of numbers made into beats and instructions with names.

/** Rows as objects, by their columns. */
const named = (columns, rows) =>
  rows.map((row) => Object.fromEntries(columns.map((name, place) => [name, row[place]])));

/** "3wor" as "wwwor". */
export const expanded = (runs) =>
  runs.replace(/(\d*)([orw])/g, (_, n, letter) => letter.repeat(Number(n) || 1));

/** The data of sockwright/bench/sheet.py with texts put together and each beat knowing its own. */
export function readSock(data) {
  const instructions = named(data.instruction_columns, data.instructions).map((one, place) => ({
    ...one,
    number: place + 1,
    places: { head: one.head, text: one.text, items: one.items },
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
  const sock = { ...data, instructions, beats, beds, travel: travels(beats, data.needles) };
  tell(sock, []);
  return sock;
}

/** Put the texts of all instructions together for rounds more and fewer, [[number, by], ...]. */
export function tell(sock, extra) {
  const rounds = new Map(extra);
  const figures = new Intl.NumberFormat(sock.language, {
    maximumFractionDigits: 1,
    useGrouping: false,
  });
  const piece = (one) => {
    if (typeof one === "string") return one;
    const [value, each, by] = one;
    const more = by.reduce((sum, number) => sum + (rounds.get(number) ?? 0), 0);
    return figures.format(value + each * more);
  };
  const sentence = (place) => [sock.sentences[place]].flat().map(piece).join("");
  const text = (places) => places.map(sentence).join(" ");
  for (const one of sock.instructions) {
    one.head = text(one.places.head);
    one.text = text(one.places.text);
    one.items = one.places.items.map(text);
  }
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

/** The needle that the carrier passed last when so many beats are done. */
export const passedAt = (sock, done) => (done ? sock.beats[done - 1].passed : sock.needles);

/** Numbers of the needles with a letter in a look. */
export const needlesThat = (look, letter) =>
  [...look].flatMap((one, place) => (one === letter ? [place + 1] : []));
