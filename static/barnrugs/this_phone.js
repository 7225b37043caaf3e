// Choosing one's name on a shared phone. With signal the house checks the PIN and gives the seal, which is kept here
// locked by the PIN; without signal the PIN must unlock it. The PIN itself is kept nowhere.
"use strict";

(() => {
  const form = document.getElementById("who");
  if (!form || !self.indexedDB || !self.crypto?.subtle) return;
  const store = self.barnStore;
  const ROUNDS = 600000;
  const WRONG = 5;
  const WAIT_MS = 15 * 60 * 1000;
  const words = form.dataset;
  const bytes = (hex) => Uint8Array.from(hex.match(/../g), (pair) => parseInt(pair, 16));

  const said = (text) => {
    const box = document.getElementById("who-said");
    box.textContent = text;
    box.hidden = !text;
  };

  const lock = async (pin, salt) => {
    const typed = await crypto.subtle.importKey("raw", new TextEncoder().encode(pin), "PBKDF2", false, ["deriveKey"]);
    return crypto.subtle.deriveKey(
      { name: "PBKDF2", hash: "SHA-256", salt, iterations: ROUNDS }, typed, { name: "AES-GCM", length: 256 }, false,
      ["encrypt", "decrypt"],
    );
  };
  const sealing = (raw) => crypto.subtle.importKey("raw", raw, { name: "HMAC", hash: "SHA-256" }, false, ["sign"]);

  const enter = async (told, raw) => {
    const key = await sealing(raw);
    await store.put("state", { slug: told.barn, person: told.person, name: told.name, byPin: true, key, due: told.first, at: Date.now() }, "active");
    location.assign(told.first);
  };

  const remember = async (told, pin) => {
    const salt = crypto.getRandomValues(new Uint8Array(16));
    const iv = crypto.getRandomValues(new Uint8Array(12));
    const locked = await crypto.subtle.encrypt({ name: "AES-GCM", iv }, await lock(pin, salt), bytes(told.seal));
    const { seal, ...known } = told;
    await store.put("people", { ...known, salt, iv, locked, wrong: 0, since: 0 }, `${told.barn}/${told.person}`);
  };

  const withoutSignal = async (who, pin) => {
    const name = `${form.dataset.barn}/${who}`;
    const known = await store.get("people", name);
    if (!known) return said(words.unknown);
    if (known.wrong >= WRONG && Date.now() - known.since < WAIT_MS) return said(words.slow);
    let raw;
    try {
      raw = await crypto.subtle.decrypt({ name: "AES-GCM", iv: known.iv }, await lock(pin, known.salt), known.locked);
    } catch {
      await store.put("people", { ...known, wrong: known.wrong + 1, since: Date.now() }, name);
      return said(words.wrong);
    }
    await store.put("people", { ...known, wrong: 0 }, name);
    return enter(known, raw);
  };

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const data = new FormData(form);
    if (!data.get("who")) return said(words.choose);
    said("");
    let answer;
    let told;
    try {
      const token = (await (await fetch("/token/", { cache: "no-store" })).json()).token;
      data.set("csrfmiddlewaretoken", token);
      answer = await fetch("/this-phone/", { method: "POST", body: data, headers: { Accept: "application/json" } });
      told = await answer.json();
    } catch {
      return withoutSignal(data.get("who"), data.get("pin"));
    }
    if (!answer.ok) return said(told.said || words.wrong);
    await remember(told, data.get("pin"));
    return enter(told, bytes(told.seal));
  });
  navigator.serviceWorker?.register("/worker.js", { scope: "/" }).catch(() => {});
})();
