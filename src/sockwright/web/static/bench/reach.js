// Whether what has the focus was reached by the keyboard, or only touched last.
//
// A finger leaves the focus on what it touched. A pedal's space bar must not press that again; a
// person who came there by Tab means it.

let byKeyboard = false;

addEventListener("keydown", (event) => {
  if (event.key === "Tab") byKeyboard = true;
}, true);
addEventListener("pointerdown", () => {
  byKeyboard = false;
}, true);

/** True from the last Tab to the next touch. */
export const reachedByKeyboard = () => byKeyboard;

/** Give the focus to the count: what was touched before is left. */
export function backToTheCount() {
  byKeyboard = false;
  document.getElementById("do")?.focus({ preventScroll: true });
}
