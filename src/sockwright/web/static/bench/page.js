// Small helps with the page itself.

/**
 * What was found, which is to be of a kind; an error, naming it, where the page has it not.
 * @template {Element} T
 * @param {Element | null} found
 * @param {string} name
 * @param {new () => T} kind
 */
function sure(found, name, kind) {
  if (found instanceof kind) return found;
  throw new Error(`the page has no ${kind.name} at ${name}`);
}

/** @param {string} id */
export const byId = (id) => sure(document.getElementById(id), id, HTMLElement);

/** @param {string} id */
export const inputById = (id) => sure(document.getElementById(id), id, HTMLInputElement);

/** @param {string} id */
export const textById = (id) => sure(document.getElementById(id), id, HTMLTextAreaElement);

/** @param {string} id */
export const formById = (id) => sure(document.getElementById(id), id, HTMLFormElement);

/** @param {string} id */
export const buttonById = (id) => sure(document.getElementById(id), id, HTMLButtonElement);

/** @param {string} id */
export const dialogById = (id) => sure(document.getElementById(id), id, HTMLDialogElement);

/** @param {string} id */
export const selectById = (id) => sure(document.getElementById(id), id, HTMLSelectElement);

/**
 * The first part of the page, or of an element, that a selector finds.
 * @template {Element} T
 * @param {ParentNode} whole
 * @param {string} selector
 * @param {new () => T} kind
 */
export const partOf = (whole, selector, kind) => sure(whole.querySelector(selector), selector, kind);

/**
 * All parts that a selector finds.
 * @template {Element} T
 * @param {ParentNode} whole
 * @param {string} selector
 * @param {new () => T} kind
 */
export const partsOf = (whole, selector, kind) =>
  [...whole.querySelectorAll(selector)].map((one) => sure(one, selector, kind));

/** The element that an event is about; null where it is about the page. @param {Event} event */
export const targetOf = (event) => (event.target instanceof Element ? event.target : null);

/**
 * The next element outwards that fits, from where an event happened.
 * @param {Event} event
 * @param {string} selector
 * @returns {HTMLElement | null}
 */
export const around = (event, selector) => targetOf(event)?.closest(selector) ?? null;

/**
 * A new element with a text and properties.
 * @template {keyof HTMLElementTagNameMap} Name
 * @param {Name} name
 * @param {{id?: string, className?: string, hidden?: boolean, type?: string, htmlFor?: string,
 *   value?: string}} more
 * @returns {HTMLElementTagNameMap[Name]}
 */
export function made(name, text = "", more = {}) {
  const one = document.createElement(name);
  one.textContent = text;
  return Object.assign(one, more);
}

/**
 * Say on the page what is wrong; nothing where the text is empty.
 * @param {string} id
 * @param {string} text
 */
export function problem(id, text) {
  byId(id).textContent = text;
  byId(id).hidden = !text;
}
