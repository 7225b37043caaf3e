// What this phone keeps: the queue, who is at it, and each person's seal locked by their PIN. Shared with the worker.
"use strict";

self.barnStore = (() => {
  const NAME = "barnrugs";
  const STORES = { queue: { keyPath: "once" }, state: {}, people: {} };

  const opened = new Promise((keep, fail) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      for (const [name, how] of Object.entries(STORES)) asked.result.createObjectStore(name, how);
    };
    asked.onsuccess = () => keep(asked.result);
    asked.onerror = () => fail(asked.error);
  });
  opened.catch(() => {});

  // Settles when the transaction is on the disk, not when the request was heard: a tap is kept or it is not.
  const inside = async (name, mode, work) => {
    const base = await opened;
    return new Promise((keep, fail) => {
      const step = base.transaction(name, mode, { durability: "strict" });
      let result;
      step.oncomplete = () => keep(result);
      step.onabort = () => fail(step.error || new DOMException("", "QuotaExceededError"));
      step.onerror = () => fail(step.error);
      try {
        const asked = work(step.objectStore(name));
        if (asked) asked.onsuccess = () => { result = asked.result; };
      } catch (fault) {
        step.abort();
        fail(fault);
      }
    });
  };

  const get = (name, key) => inside(name, "readonly", (store) => store.get(key));
  const all = (name) => inside(name, "readonly", (store) => store.getAll());
  const keys = (name) => inside(name, "readonly", (store) => store.getAllKeys());
  const put = (name, value, key) => inside(name, "readwrite", (store) => store.put(value, key));
  const drop = (name, key) => inside(name, "readwrite", (store) => store.delete(key));

  // The next number of this phone, taken in one transaction, so that two tabs never take the same.
  const next = async () => {
    const base = await opened;
    return new Promise((keep, fail) => {
      const step = base.transaction("state", "readwrite", { durability: "strict" });
      const store = step.objectStore("state");
      let number = 0;
      const asked = store.get("seq");
      asked.onsuccess = () => {
        number = (asked.result || 0) + 1;
        try {
          store.put(number, "seq");
        } catch (fault) {
          fail(fault);
          step.abort();
        }
      };
      step.oncomplete = () => keep(number);
      step.onabort = () => fail(step.error || new DOMException("", "QuotaExceededError"));
    });
  };

  // What pages told of a barn, or of one person there, beside the pages themselves.
  const forget = async (slug, person = "") => {
    for (const key of await keys("state")) {
      if (key.startsWith(`map/${slug}/${person}`) || key.startsWith(`seen/${slug}/${person}`)) await drop("state", key);
    }
  };

  const cacheOf = (slug, person) => `kept/${slug}/${person}`;

  // The list at hand by the house's clock: the last that is due, or due within two hours.
  const atHand = (map) => {
    const now = Date.now() + (map.clockOff || 0);
    const begun = map.lists.filter((list) => Date.parse(list.due_at) - 2 * 3600 * 1000 <= now);
    return (begun[begun.length - 1] || map.lists[0])?.path;
  };

  return { get, all, keys, put, drop, next, forget, cacheOf, atHand };
})();
