// A second place on this device for what the first has no room for: a database of the browser, which
// may grow far larger than its storage of texts, but answers later.

const NAME = "sockwright-bench";
const TEXTS = "texts";

let opening = null;

/** The database, null where the browser has none for us. */
function open() {
  opening ??= new Promise((resolve) => {
    try {
      const asked = indexedDB.open(NAME, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore(TEXTS);
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => resolve(null);
    } catch {
      resolve(null);
    }
  }).then((base) => {
    if (!base) opening = null; // a full disk may have room later
    return base;
  });
  return opening;
}

/** Do something with the texts in one piece; what it asked for, `otherwise` where that failed. */
async function within(mode, otherwise, deed) {
  const base = await open();
  if (!base) return otherwise;
  return new Promise((resolve) => {
    try {
      const all = base.transaction(TEXTS, mode, { durability: "strict" });
      const asked = deed(all.objectStore(TEXTS));
      all.oncomplete = () => resolve(asked?.result ?? true);
      all.onabort = () => resolve(otherwise);
      all.onerror = (event) => event.preventDefault();
      if (asked) asked.onerror = () => all.abort();
    } catch {
      resolve(otherwise);
    }
  });
}

const from = (prefix) => IDBKeyRange.bound(prefix, `${prefix}\uffff`);

/** Keep a text at a place; true once it is on the disk, false where there is no room. */
export const putDeep = (key, text) => within("readwrite", false, (texts) => texts.put(text, key));

/** All texts whose places begin so. */
export const readDeep = (prefix) => within("readonly", [], (texts) => texts.getAll(from(prefix)));

/** The places that begin so. */
export const keysDeep = (prefix) => within("readonly", [], (texts) => texts.getAllKeys(from(prefix)));

/** Let go of the texts at some places. */
export const dropDeep = (keys) => within("readwrite", false, (texts) => {
  for (const key of keys) texts.delete(key);
});

/** Whether there is such a database at all. */
export const hasDeep = async () => (await open()) !== null;
