// Small helps with the page itself.

export const byId = (id) => document.getElementById(id);

/** A new element with a text and properties. */
export function made(name, text = "", more = {}) {
  const one = document.createElement(name);
  one.textContent = text;
  return Object.assign(one, more);
}

/** Say on the page what is wrong; nothing where the text is empty. */
export function problem(id, text) {
  byId(id).textContent = text;
  byId(id).hidden = !text;
}
