// The queue: what somebody did, numbered, sealed where the phone is a shared one, and sent in its order.
// A refused one stays at its head and is sent again with what follows, so that the house holds back its horse only.
"use strict";

self.barnQueue = (() => {
  const store = self.barnStore;
  const AT_ONCE = 20;
  const SENT_STAYS_MS = 48 * 3600 * 1000;
  const TOO_LONG_MS = 24 * 3600 * 1000;
  const PATIENCE_MS = 30000;
  const CHANNEL = new BroadcastChannel("barnrugs");

  const hex = (bytes) => Array.from(new Uint8Array(bytes), (byte) => byte.toString(16).padStart(2, "0")).join("");
  const tell = (what) => {
    CHANNEL.postMessage(what);
    document.dispatchEvent(new CustomEvent("barnrugs:queue", { detail: what }));
  };
  CHANNEL.onmessage = (heard) => document.dispatchEvent(new CustomEvent("barnrugs:queue", { detail: heard.data }));

  const active = () => store.get("state", "active");

  const sealed = async (who, body) => {
    if (!who.key) return "";
    return hex(await crypto.subtle.sign("HMAC", who.key, new TextEncoder().encode(body)));
  };

  // Resolves once it is on this phone's disk. Throws where it could not be kept: the caller says so.
  const add = async ({ kind, label, fields, picture, ...about }) => {
    const who = await active();
    const told = { ...fields };
    if (picture) told.picture = hex(await crypto.subtle.digest("SHA-256", await picture.arrayBuffer()));
    const once = crypto.randomUUID();
    const at = Date.now();
    const seq = await store.next();
    const body = JSON.stringify({ once, seq, kind, person: who.person, there_at: at, ...about, fields: told });
    const item = {
      once, seq, kind, label, at, body, picture: picture || null, about, fields: told,
      barn: who.slug, person: who.person, name: who.name, seal: await sealed(who, body), state: "waiting", said: "",
    };
    await store.put("queue", item);
    tell({ added: once });
    return item;
  };

  const list = async () => (await store.all("queue")).sort((one, other) => one.seq - other.seq);
  const waits = (item) => item.state !== "sent";
  const drop = async (once) => {
    await store.drop("queue", once);
    tell({ dropped: once });
  };

  const forgetOld = async (now = Date.now()) => {
    for (const item of await store.all("queue")) {
      if (!waits(item) && now - item.sentAt > SENT_STAYS_MS) await store.drop("queue", item.once);
    }
  };

  const called = async (address, how = {}) => {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
    try {
      return await fetch(address, { credentials: "same-origin", cache: "no-store", redirect: "error", ...how, signal: stop.signal });
    } finally {
      clearTimeout(timer);
    }
  };

  const parcel = (items, clockOff) => {
    const batch = JSON.stringify({
      now: Date.now(), clock_off_ms: clockOff, rows: true, events: items.map(({ body, seal }) => ({ body, seal })),
    });
    if (!items.some((item) => item.picture)) return { body: batch, headers: { "Content-Type": "application/json" } };
    const form = new FormData();
    form.append("batch", batch);
    for (const item of items) if (item.picture) form.append(`picture-${item.once}`, item.picture, "picture.jpg");
    return { body: form, headers: {} };
  };

  const AFTER = { done: "sent", question: "sent", kept: "sent", refused: "needs" };

  const settle = async (item, answer, now) => {
    const state = AFTER[answer.status] || "waiting";
    const settled = { ...item, state, status: answer.status, said: answer.said || "" };
    if (state === "sent") Object.assign(settled, { sentAt: Date.now(), sentNow: now, picture: null });
    await store.put("queue", settled);
    return state === "sent";
  };

  // What this phone may send for: whoever is signed in, and whoever sealed theirs with their PIN.
  const mine = (items, slug, people) =>
    items.filter((item) => item.barn === slug && waits(item) && (item.seal || people[slug] === item.person));

  const outcome = { why: "", at: 0 };
  const stop = (why) => {
    outcome.why = why;
    outcome.at = Date.now();
    tell({ stopped: why });
    return false;
  };

  const sendSome = async (slug, address) => {
    if (!(await list()).some((item) => item.barn === slug && waits(item))) return stop("");
    let told;
    let clockOff;
    try {
      const before = Date.now();
      const answer = await called("/token/");
      if (!answer.ok) return stop("trouble");
      told = await answer.json();
      clockOff = told.now - (before + Date.now()) / 2;
    } catch {
      return stop("no_signal");
    }
    const items = mine(await list(), slug, told.people).slice(0, AT_ONCE);
    if (!items.length) return stop("sign_in");
    tell({ sending: items.map((item) => item.once) });
    const { body, headers } = parcel(items, clockOff);
    let heard;
    try {
      const answer = await called(address, { method: "POST", body, headers: { ...headers, "X-CSRFToken": told.token } });
      if (answer.status === 401 || answer.status === 403) return stop("sign_in");
      if (!answer.ok) return stop("trouble");
      heard = await answer.json();
    } catch {
      return stop("no_signal");
    }
    let sent = 0;
    for (const [place, answer] of heard.answers.entries()) {
      if (items[place] && answer.once === items[place].once && (await settle(items[place], answer, heard.now))) sent += 1;
    }
    outcome.why = "";
    tell({ answered: heard });
    if (heard.clear || heard.gone.length) await clear(slug, heard);
    return sent > 0;
  };

  // A revoked phone forgets the barn; somebody who left is forgotten on it. Never what is not sent yet.
  const clear = async (slug, heard) => {
    const prefix = heard.clear ? `kept/${slug}/` : null;
    for (const name of await caches.keys()) {
      if ((prefix && name.startsWith(prefix)) || heard.gone.some((key) => name.endsWith(`/${key}`))) await caches.delete(name);
    }
    for (const key of await store.keys("people")) {
      if (heard.clear || heard.gone.some((gone) => key.endsWith(`/${gone}`))) await store.drop("people", key);
    }
    const who = await active();
    if (who && (heard.clear || heard.gone.includes(who.person))) await store.drop("state", "active");
    if (heard.clear) tell({ cleared: heard.answers.filter((answer) => answer.status === "kept").length });
  };

  // One at a time over all tabs, and at most one more that waits its turn; goes on while anything gets through.
  let waitsItsTurn = null;
  const send = (slug, address) => {
    waitsItsTurn ??= navigator.locks.request("barnrugs-send", async () => {
      waitsItsTurn = null;
      while (await sendSome(slug, address));
    });
    return waitsItsTurn;
  };

  return { add, list, drop, send, waits, forgetOld, active, outcome, TOO_LONG_MS };
})();
