// The queue: what somebody did, numbered, sealed where the phone is a shared one, and sent in its order.
// A refused one stays at its head and is sent again with what follows, so that the house holds back its horse only.
"use strict";

self.barnQueue = (() => {
  const store = self.barnStore;
  const AT_ONCE = 20;
  const MOST_AT_ONCE = 50;
  const SENT_STAYS_MS = 48 * 3600 * 1000;
  const TOO_LONG_MS = 24 * 3600 * 1000;
  const PATIENCE_MS = 30000;
  const SLOWEST_BYTES_A_MS = 8;
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

  class SomebodyElse extends Error {}

  // Resolves once it is on this phone's disk. Throws where it could not be kept: the caller says so.
  // by: whose page it was noted on; who came in meanwhile in another tab notes nothing there. page_at: when the house
  // made that page, before which nothing was noted on it, whatever the phone's clock says. shown: for the phone only.
  // number: the form's own, taken where it is free, so that one form is one write however it reaches the house.
  // One after the other over all tabs, so that a number is never sent before a smaller one is kept.
  const add = (told) => navigator.locks.request("barnrugs-add", () => addOne(told));
  const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
  const addOne = async ({ kind, label, fields, picture, by, page_at, shown, number, ...about }) => {
    const who = await active();
    if (!who || (by && who.person !== by)) throw new SomebodyElse();
    const told = { ...fields };
    if (picture) told.picture = hex(await crypto.subtle.digest("SHA-256", await picture.arrayBuffer()));
    const isFree = UUID.test(number || "") && !(await store.get("queue", number));
    const once = isFree ? number : crypto.randomUUID();
    const at = Date.now();
    const seq = await store.next();
    const body = JSON.stringify({ once, seq, kind, person: who.person, there_at: at, page_at, ...about, fields: told });
    const item = {
      once, seq, kind, label, at, body, picture: picture || null, about, fields: told, shown: shown || null,
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

  // bytes: how much goes out with it; a picture over a weak signal takes its time.
  const called = async (address, how = {}, bytes = 0) => {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE_MS + bytes / SLOWEST_BYTES_A_MS);
    try {
      return await fetch(address, { credentials: "same-origin", cache: "no-store", redirect: "error", ...how, signal: stop.signal });
    } finally {
      clearTimeout(timer);
    }
  };

  // Who the house takes this phone's user for, and its token; null where it is not heard.
  const house = async () => {
    const answer = await called("/token/");
    return answer.ok ? answer.json() : null;
  };

  const comesAlong = (item) => item.picture && !item.tooLarge;
  const isFresh = (item) => item.state === "waiting" && item.status !== "held";

  // By what the phone sees that two are of the same horse or blanket.
  const namesOf = ({ label, about, fields }) =>
    [label, ...Object.entries(about).map((one) => one.join(" ")), ...(fields.tags || [])].filter(Boolean);
  const akin = (one, other) => namesOf(one).some((name) => namesOf(other).includes(name));

  // It, and whatever it must not overtake; no further than goes in one call.
  const withEarlier = (item, items, found = new Set()) => {
    for (const one of items) {
      if (found.size > MOST_AT_ONCE || one.seq >= item.seq) break;
      if (!found.has(one) && akin(one, item)) withEarlier(one, items, found);
    }
    return found.add(item);
  };

  // The house took in one call no more than one picture: so it goes until this tab is closed.
  const ONE_PICTURE = "one-picture";
  const fits = (items) => {
    const fresh = items.filter(isFresh).length;
    const pictures = items.filter(comesAlong).length;
    return fresh <= AT_ONCE && items.length - fresh <= MOST_AT_ONCE - AT_ONCE && (pictures < 2 || !sessionStorage.getItem(ONE_PICTURE));
  };

  // What goes in one call, in order. First what is new, with one new picture at most, and with each what it must not
  // overtake; in the places left what was refused or waits for that, first what waits for the least.
  const parcelOf = (items) => {
    const going = new Set();
    const take = (item) => {
      const more = [...new Set([...going, ...withEarlier(item, items)])];
      if (fits(more)) for (const one of more) going.add(one);
    };
    for (const item of items.filter(isFresh)) {
      const fresh = [...going].filter(isFresh);
      if (fresh.length === AT_ONCE || (comesAlong(item) && fresh.some(comesAlong))) break;
      take(item);
    }
    const old = items.filter((item) => !isFresh(item)).map((item) => ({ item, waitsFor: withEarlier(item, items).size }));
    const isHeld = ({ item }) => Number(item.status === "held");
    old.sort((one, other) => one.waitsFor - other.waitsFor || isHeld(other) - isHeld(one));
    for (const { item } of old) take(item);
    return items.filter((item) => going.has(item));
  };

  const packed = (items, clockOff) => {
    const batch = JSON.stringify({
      now: Date.now(), clock_off_ms: clockOff, rows: true,
      events: items.map(({ body, seal, tooLarge }) => ({ body, seal, too_large: Boolean(tooLarge) })),
    });
    const pictures = items.filter(comesAlong);
    if (!pictures.length) return { body: batch, headers: { "Content-Type": "application/json" }, bytes: batch.length };
    const form = new FormData();
    form.append("batch", batch);
    for (const item of pictures) form.append(`picture-${item.once}`, item.picture, "picture.jpg");
    return { body: form, headers: {}, bytes: pictures.reduce((sum, item) => sum + item.picture.size, batch.length) };
  };

  // The house, or what stands before it, takes no pictures as large as these: each goes alone, and what is too large
  // alone stays behind.
  const lighten = async (items) => {
    const [picture, another] = items.filter(comesAlong);
    if (!picture) return stop("trouble");
    if (another) sessionStorage.setItem(ONE_PICTURE, "yes");
    else await store.put("queue", { ...picture, tooLarge: true });
    return true;
  };

  const AFTER = { done: "sent", question: "sent", kept: "sent", refused: "needs" };

  const settle = async (item, answer, now) => {
    const state = AFTER[answer.status] || "waiting";
    const settled = { ...item, state, status: answer.status, said: answer.said || "", to: answer.to || "" };
    if (state === "sent") Object.assign(settled, { sentAt: Date.now(), sentNow: now, picture: null });
    try {
      await store.put("queue", settled);
    } catch (fault) {
      // No room to write down that it was sent: what the house has may go.
      if (state !== "sent") throw fault;
      await store.drop("queue", item.once);
    }
    return settled;
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

  const sendSome = async (slug, address, again = false) => {
    if (!(await list()).some((item) => item.barn === slug && waits(item))) return stop("");
    let told;
    let clockOff;
    try {
      const before = Date.now();
      told = await house();
      if (!told) return stop("trouble");
      clockOff = told.now - (before + Date.now()) / 2;
    } catch {
      return stop("no_signal");
    }
    const items = parcelOf(mine(await list(), slug, told.people));
    if (!items.length) return stop("sign_in");
    tell({ sending: items.map((item) => item.once) });
    const { body, headers, bytes } = packed(items, clockOff);
    let heard;
    try {
      const how = { method: "POST", body, headers: { ...headers, "X-CSRFToken": told.token } };
      const answer = await called(address, how, bytes);
      // Somebody came in just now in another tab, and with them another token.
      if (answer.status === 403 && !again) return sendSome(slug, address, true);
      if (answer.status === 401 || answer.status === 403) return stop("sign_in");
      if (answer.status === 413) return lighten(items);
      if (!answer.ok) return stop("trouble");
      heard = await answer.json();
    } catch {
      return stop("no_signal");
    }
    let moved = 0;
    for (const [place, answer] of heard.answers.entries()) {
      if (!items[place] || answer.once !== items[place].once) continue;
      const settled = await settle(items[place], answer, heard.now);
      if (!waits(settled) || (isFresh(items[place]) && !isFresh(settled))) moved += 1;
    }
    outcome.why = "";
    tell({ answered: heard });
    if (heard.clear || heard.gone.length) await clear(slug, heard);
    return moved > 0;
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
    for (const person of heard.clear ? [""] : heard.gone) await store.forget(slug, person);
    if (heard.clear) await caches.delete("phone");
    const who = await active();
    if (who?.slug === slug && (heard.clear || heard.gone.includes(who.person))) await store.drop("state", "active");
    if (heard.clear) tell({ barn: slug, cleared: heard.answers.filter((answer) => answer.status === "kept").length });
  };

  // The barns of which this phone keeps pages or people, and those for which something waits here.
  const keptOf = async () => {
    const pages = (await caches.keys()).filter((name) => name.startsWith("kept/")).map((name) => name.split("/")[1]);
    const people = (await store.keys("people")).map((key) => key.split("/")[0]);
    const who = await active();
    return new Set([...pages, ...people, ...(who ? [who.slug] : [])]);
  };
  const barns = async () => new Set([...(await keptOf()), ...(await list()).filter(waits).map((item) => item.barn)]);

  // What waits goes to the house before anything is cleared; what the house did not take stays in the queue.
  const leave = async (slug, heard) => {
    if (!(await barns()).has(slug)) return;
    await send(slug, `/barns/${slug}/send/`);
    if ((await keptOf()).has(slug)) await clear(slug, { ...heard, answers: [] });
  };

  // Whoever opens a page with signal hears whether this phone, or somebody on it, still belongs to the barn, also where
  // nothing waits to be sent. Throws without signal; null where the house is not heard.
  const contact = async () => {
    const told = await house();
    if (!told) return null;
    for (const slug of told.clear) await leave(slug, { clear: true, gone: [] });
    for (const [slug, users] of Object.entries(told.users)) {
      const known = (await store.keys("people")).filter((key) => key.startsWith(`${slug}/`)).map((key) => key.split("/")[1]);
      const gone = known.filter((person) => !users.includes(person));
      if (gone.length) await leave(slug, { clear: false, gone });
    }
    return told;
  };

  // One at a time over all tabs, and at most one more that waits its turn; goes on while anything new is answered.
  const waitsItsTurn = new Map();
  const send = (slug, address) => {
    if (!waitsItsTurn.has(slug)) {
      waitsItsTurn.set(slug, navigator.locks.request("barnrugs-send", async () => {
        waitsItsTurn.delete(slug);
        while (await sendSome(slug, address));
      }));
    }
    return waitsItsTurn.get(slug);
  };

  return { add, list, drop, send, contact, barns, waits, isFresh, forgetOld, active, house, outcome, SomebodyElse, TOO_LONG_MS };
})();
