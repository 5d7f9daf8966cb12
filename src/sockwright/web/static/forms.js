// What was typed is not lost without a question, and an offer is put in its field at once.

/** What the fields of a form say; empty ones say nothing, so that a blank row is no change.
 * @param {HTMLFormElement} form */
const said = (form) => {
  const pairs = [...new FormData(form)].filter(([, value]) => typeof value === "string" && value);
  return JSON.stringify(pairs);
};

const forms = [...document.forms].filter((form) => form.matches("[data-asks]"));
const asLoaded = new Map(forms.map((form) => [form, said(form)]));
/** @type {EventTarget | null} */
let sent = null;

/** A form that came back unsaved holds typed text from the beginning.
 * @param {HTMLFormElement} form */
const changed = (form) => form.hasAttribute("data-unsaved") || said(form) !== asLoaded.get(form);

addEventListener("submit", (event) => {
  sent = event.target;
});

// Sending the changed form itself leads on; sending another one would lose what stands in it.
addEventListener("beforeunload", (event) => {
  if (forms.some((form) => form !== sent && form.isConnected && changed(form))) event.preventDefault();
  sent = null;
});

document.addEventListener("click", (event) => {
  /** @type {HTMLButtonElement | null} */
  const button = event.target instanceof Element ? event.target.closest("button[data-fills]") : null;
  const field = button && document.getElementById(button.dataset.fills ?? "");
  if (!button || !field || !("value" in field)) return;
  event.preventDefault();
  field.value = button.dataset.text;
  field.removeAttribute("aria-invalid");
  field.focus();
  button.previousElementSibling?.remove();
  button.remove();
});
