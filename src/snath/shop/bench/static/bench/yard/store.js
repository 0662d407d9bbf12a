// What lies on this phone: limits that were worked out at the bench, and entries until the bench has taken them.

const opened = new Promise((resolve, reject) => {
  const asked = indexedDB.open("snath-yard", 1);
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("entries", { keyPath: "key" });
    asked.result.createObjectStore("along");
  };
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});

const within = async (store, mode, work) => {
  const base = await opened;
  return new Promise((resolve, reject) => {
    const change = base.transaction(store, mode);
    const asked = work(change.objectStore(store));
    change.oncomplete = () => resolve(asked.result);
    change.onerror = change.onabort = () => reject(change.error);
  });
};

export const entries = async () =>
  (await within("entries", "readonly", (store) => store.getAll())).sort((one, other) => one.at.localeCompare(other.at));
export const keepEntry = (entry) => within("entries", "readwrite", (store) => store.put(entry));
export const dropEntry = (key) => within("entries", "readwrite", (store) => store.delete(key));
export const along = () => within("along", "readonly", (store) => store.get("now"));
export const keepAlong = (value) => within("along", "readwrite", (store) => store.put(value, "now"));
export const forgetAlong = () => within("along", "readwrite", (store) => store.delete("now"));
