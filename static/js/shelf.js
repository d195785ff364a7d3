// Where what waits to be sent is kept: one table of this browser's own database.

function opened() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("broodwater", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("waiting", { keyPath: "key" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

async function use(mode, act) {
  const base = await opened();
  try {
    return await new Promise((done, failed) => {
      const change = base.transaction("waiting", mode);
      const asked = act(change.objectStore("waiting"));
      change.oncomplete = () => done(asked.result);
      change.onerror = change.onabort = () => failed(change.error);
    });
  } finally {
    base.close();
  }
}

export const keep = (one) => use("readwrite", (shelf) => shelf.put(one));
export const drop = (key) => use("readwrite", (shelf) => shelf.delete(key));
export const has = async (key) => (await use("readonly", (shelf) => shelf.getKey(key))) !== undefined;
export const all = async () => (await use("readonly", (shelf) => shelf.getAll())).sort((a, b) => a.at - b.at);
