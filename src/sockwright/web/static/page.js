// Small helps on every page; all pages work without them.

// After a piece of the page was refused, show the page that says why.
document.addEventListener("htmx:beforeSwap", (event) => {
  const status = event.detail.xhr.status;
  if (status >= 400 && status < 500) {
    event.detail.shouldSwap = true;
    event.detail.isError = false;
  }
});

// An explanation opens over the page; closing it gives the focus back to where it was asked for.
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-why]");
  const elsewhere = event.ctrlKey || event.metaKey || event.shiftKey || event.altKey;
  if (!link || elsewhere || !document.getElementById("why-body")) return;
  event.preventDefault();
  window.htmx.ajax("GET", link.getAttribute("href"), {
    source: link, target: "#why-body", swap: "innerHTML",
  });
});
document.addEventListener("htmx:afterSwap", (event) => {
  const dialog = event.detail.target.closest("dialog");
  if (dialog && !dialog.open) dialog.showModal();
});

// A slider tells its value at once; the plan follows.
document.addEventListener("input", (event) => {
  const slider = event.target;
  if (slider.type !== "range") return;
  const output = slider.parentElement.querySelector("output");
  const sign = document.documentElement.lang === "de" ? "," : ".";
  if (output) output.textContent = `${slider.value.replace(".", sign)} ${output.dataset.unit}`;
});

// Ticking a swatch is choosing it.
document.addEventListener("change", (event) => {
  if (event.target.name !== "swatches" || !event.target.form) return;
  for (const box of event.target.form.querySelectorAll('input[name="swatch"]')) {
    box.disabled = event.target.value !== "chosen";
  }
}, true);

// An answer that replaces what is chosen comes too late once something else was chosen: the plan
// is then asked for again, and nothing chosen meanwhile is lost.
const asked = new WeakMap();
const spelled = (form) => new URLSearchParams(new FormData(form)).toString();

document.addEventListener("htmx:beforeRequest", (event) => {
  const form = event.detail.elt;
  if (form.id === "choice") asked.set(event.detail.xhr, spelled(form));
});
document.addEventListener("htmx:beforeSwap", (event) => {
  const { xhr, requestConfig } = event.detail;
  if (!asked.has(xhr) || asked.get(xhr) === spelled(requestConfig.elt)) return;
  event.detail.shouldSwap = false;
  requestConfig.elt.dispatchEvent(new Event("change"));
});

// Numbers come first, their drawings after them: meanwhile those of the plan before stay, marked as
// such. What arrives for a plan that is no longer shown has no place to go to.
let standing = [];
const figures = () => [...document.querySelectorAll("#drawings > figure")];

const keep = () => {
  const drawn = figures().filter((one) => one.querySelector("svg"));
  if (drawn.length) standing = drawn;
};
const stand = () => {
  for (const place of document.querySelectorAll("#drawings .to-come")) {
    const kind = place.parentElement.className;
    const which = figures().filter((one) => one.className === kind).indexOf(place.parentElement);
    const before = standing.filter((one) => one.className === kind)[which]?.querySelector("svg");
    if (before) place.replaceChildren(before.cloneNode(true));
  }
};
document.addEventListener("htmx:beforeSwap", keep);
document.addEventListener("htmx:afterSwap", stand);

// While other numbers are on their way nobody would see these drawings: they bring their own. Only
// where they do not come, these are wanted after all.
const asksNumbers = (element) => ["choice", "sliders"].includes(element.id);
document.addEventListener("htmx:beforeRequest", (event) => {
  const others = document.querySelector("#choice.htmx-request, #sliders.htmx-request");
  if (event.detail.elt.id === "drawings" && others) event.preventDefault();
});
document.addEventListener("htmx:afterRequest", (event) => {
  const waiting = document.querySelector("#drawings[aria-busy]");
  if (waiting && asksNumbers(event.detail.elt) && !event.detail.successful) window.htmx.trigger(waiting, "draw");
});

// The program stays open while another plan takes its place.
let open = [];
const programs = () => [...document.querySelectorAll("#result details.program")];
document.addEventListener("htmx:beforeSwap", () => { open = programs().map((one) => one.open); });
document.addEventListener("htmx:afterSettle", () => {
  programs().forEach((one, place) => { if (open[place] && !one.open) one.open = true; });
});
