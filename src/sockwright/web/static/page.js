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
