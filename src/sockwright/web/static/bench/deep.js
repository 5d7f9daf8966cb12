// A second place on this device for what the first has no room for: a database of the browser, which
// may grow far larger than its storage of texts, but answers later.

const NAME = "sockwright-bench";
const TEXTS = "texts";

/** @type {Promise<IDBDatabase | null> | null} */
let opening = null;

/** The database, null where the browser has none for us. */
function open() {
  opening ??= /** @type {Promise<IDBDatabase | null>} */ (new Promise((resolve) => {
    try {
      const asked = indexedDB.open(NAME, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore(TEXTS);
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => resolve(null);
    } catch {
      resolve(null);
    }
  })).then((base) => {
    if (!base) opening = null; // a full disk may have room later
    return base;
  });
  return opening;
}

/**
 * Do something with the texts in one piece; the answer to what it asked for, null where that failed.
 * @template T
 * @param {IDBTransactionMode} mode
 * @param {(texts: IDBObjectStore) => IDBRequest<T>} deed
 * @returns {Promise<T | null>}
 */
async function within(mode, deed) {
  const base = await open();
  if (!base) return null;
  return new Promise((resolve) => {
    try {
      const all = base.transaction(TEXTS, mode, { durability: "strict" });
      const asked = deed(all.objectStore(TEXTS));
      all.oncomplete = () => resolve(asked.result);
      all.onabort = () => resolve(null);
      all.onerror = (event) => event.preventDefault();
      asked.onerror = () => all.abort();
    } catch {
      resolve(null);
    }
  });
}

/** @param {string} prefix */
const from = (prefix) => IDBKeyRange.bound(prefix, `${prefix}\uffff`);

/**
 * Keep a text at a place; true once it is on the disk, false where there is no room.
 * @param {string} key
 * @param {string} text
 */
export const putDeep = async (key, text) =>
  (await within("readwrite", (texts) => texts.put(text, key))) !== null;

/**
 * All texts whose places begin so.
 * @param {string} prefix
 * @returns {Promise<string[]>}
 */
export const readDeep = async (prefix) =>
  (await within("readonly", (texts) => texts.getAll(from(prefix)))) ?? [];

/** The places that begin so. @param {string} prefix */
export const keysDeep = async (prefix) =>
  ((await within("readonly", (texts) => texts.getAllKeys(from(prefix)))) ?? []).map(String);

/** Let go of the texts at some places, at least one. @param {string[]} keys */
export const dropDeep = (keys) => within("readwrite", (texts) => {
  for (const key of keys.slice(1)) texts.delete(key);
  return texts.delete(keys[0]);
});

/** Whether there is such a database at all. */
export const hasDeep = async () => (await open()) !== null;
