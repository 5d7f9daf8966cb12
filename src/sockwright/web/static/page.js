// Small helps on every page; all pages work without them.

/**
 * @typedef {{elt: Element, target: Element, xhr: XMLHttpRequest, requestConfig: {elt: Element},
 *   shouldSwap: boolean, isError: boolean, successful: boolean}} Exchange what htmx tells of one
 * @typedef {{ajax: (verb: string, address: string, how: {source: Element, target: string,
 *   swap: string}) => void, trigger: (element: Element, name: string) => void}} Htmx
 */

const { htmx } = /** @type {Window & {htmx?: Htmx}} */ (window);

/**
 * Hear what htmx tells.
 * @param {string} name
 * @param {(told: Exchange, event: Event) => void} heard
 */
const hear = (name, heard) => document.addEventListener(name, (event) => {
  if (event instanceof CustomEvent) heard(event.detail, event);
});

// After a piece of the page was refused, show the page that says why.
hear("htmx:beforeSwap", (told) => {
  if (told.xhr.status >= 400 && told.xhr.status < 500) {
    told.shouldSwap = true;
    told.isError = false;
  }
});

// An explanation opens over the page; closing it gives the focus back to where it was asked for.
document.addEventListener("click", (event) => {
  const link = event.target instanceof Element && event.target.closest("a[data-why]");
  const elsewhere = event.ctrlKey || event.metaKey || event.shiftKey || event.altKey;
  if (!htmx || !link || elsewhere || !document.getElementById("why-body")) return;
  event.preventDefault();
  htmx.ajax("GET", link.getAttribute("href") ?? "", {
    source: link, target: "#why-body", swap: "innerHTML",
  });
});
hear("htmx:afterSwap", ({ target }) => {
  const dialog = target.closest("dialog");
  if (dialog && !dialog.open) dialog.showModal();
});

// A slider tells its value at once; the plan follows.
document.addEventListener("input", (event) => {
  const slider = event.target;
  if (!(slider instanceof HTMLInputElement) || slider.type !== "range") return;
  const output = slider.parentElement?.querySelector("output");
  const sign = document.documentElement.lang === "de" ? "," : ".";
  if (output) output.textContent = `${slider.value.replace(".", sign)} ${output.dataset.unit}`;
});

// Ticking a swatch is choosing it.
document.addEventListener("change", (event) => {
  const way = event.target;
  if (!(way instanceof HTMLInputElement) || way.name !== "swatches" || !way.form) return;
  for (const box of way.form.querySelectorAll("input")) {
    if (box.name === "swatch") box.disabled = way.value !== "chosen";
  }
}, true);

// An answer that replaces what is chosen comes too late once something else was chosen: the plan
// is then asked for again, and nothing chosen meanwhile is lost.
/** @type {WeakMap<XMLHttpRequest, string>} */
const asked = new WeakMap();
/** @param {HTMLFormElement} form */
const spelled = (form) => JSON.stringify([...new FormData(form)]);

hear("htmx:beforeRequest", ({ elt, xhr }) => {
  if (elt instanceof HTMLFormElement && elt.id === "choice") asked.set(xhr, spelled(elt));
});
hear("htmx:beforeSwap", (told) => {
  const { elt } = told.requestConfig;
  const before = asked.get(told.xhr);
  if (before === undefined || !(elt instanceof HTMLFormElement) || before === spelled(elt)) return;
  told.shouldSwap = false;
  elt.dispatchEvent(new Event("change"));
});

// Numbers come first, their drawings after them: meanwhile those of the plan before stay, marked as
// such. What arrives for a plan that is no longer shown has no place to go to.
/** @type {Element[]} */
let standing = [];
/** @returns {Element[]} */
const figures = () => [...document.querySelectorAll("#drawings > figure")];

const keep = () => {
  const drawn = figures().filter((one) => one.querySelector("svg"));
  if (drawn.length) standing = drawn;
};
const stand = () => {
  for (const place of document.querySelectorAll("#drawings .to-come")) {
    const figure = place.parentElement;
    if (!figure) continue;
    const kind = figure.className;
    const which = figures().filter((one) => one.className === kind).indexOf(figure);
    const before = standing.filter((one) => one.className === kind)[which]?.querySelector("svg");
    if (before) place.replaceChildren(before.cloneNode(true));
  }
};
document.addEventListener("htmx:beforeSwap", keep);
document.addEventListener("htmx:afterSwap", stand);

// While other numbers are on their way nobody would see these drawings: they bring their own. Only
// where they do not come, these are wanted after all.
/** @param {Element} element */
const asksNumbers = (element) => ["choice", "sliders"].includes(element.id);
hear("htmx:beforeRequest", ({ elt }, event) => {
  const others = document.querySelector("#choice.htmx-request, #sliders.htmx-request");
  if (elt.id === "drawings" && others) event.preventDefault();
});
hear("htmx:afterRequest", ({ elt, successful }) => {
  const waiting = document.querySelector("#drawings[aria-busy]");
  if (waiting && asksNumbers(elt) && !successful) htmx?.trigger(waiting, "draw");
});

// The program stays open while another plan takes its place.
/** @type {boolean[]} */
let open = [];
const programs = () => [...document.querySelectorAll("#result details.program")]
  .filter((one) => one instanceof HTMLDetailsElement);
document.addEventListener("htmx:beforeSwap", () => { open = programs().map((one) => one.open); });
document.addEventListener("htmx:afterSettle", () => {
  programs().forEach((one, place) => { if (open[place] && !one.open) one.open = true; });
});
