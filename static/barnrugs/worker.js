// The service worker: without signal it answers with what was kept for whoever is at the phone, and with nothing else.
// self.HOUSE is put before this by the house: which files the pages need, and where the stand-in page is.
"use strict";

importScripts(self.HOUSE.store);

const FILES = `files/${self.HOUSE.version}`;
const PATIENCE_MS = 8000;

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(FILES);
    await cache.addAll([...self.HOUSE.files, self.HOUSE.fallback]);
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (name.startsWith("files/") && name !== FILES) await caches.delete(name);
    await self.clients.claim();
  })());
});

const impatient = async (request) => {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    return await fetch(request, { signal: stop.signal });
  } finally {
    clearTimeout(timer);
  }
};

const tidy = (typed) => (typed || "").toUpperCase().replace(/[\s\-._·]/g, "");

// Nothing, for what is no address.
const decoded = (part) => {
  try {
    return decodeURIComponent(part);
  } catch {
    return "";
  }
};

// The blanket that a label's address, a typed tag or a search for a whole tag means, if the phone knows it.
const byTag = (url, map, barn) => {
  const scanned = url.pathname.match(/^\/t\/(\d+)\/([^/]+)$/);
  if (scanned && Number(scanned[1]) !== map.barn) return null;
  const typed = scanned ? decoded(scanned[2]) : url.searchParams.get(url.pathname === `${barn}tag/` ? "tag" : "q");
  const known = map.tags[tidy(typed)];
  return known ? `${barn}blankets/${known}/` : null;
};

// Another address that the phone keeps, for one that it does not.
const instead = (url, map, barn) => {
  const path = url.pathname;
  if (path === "/" || path === barn || path === `${barn}due/`) return self.barnStore.atHand(map);
  if (path.startsWith("/t/") || path === `${barn}tag/` || path === `${barn}blankets/`) {
    return byTag(url, map, barn) || (path === `${barn}tag/` ? null : `${barn}tag/${path.startsWith("/t/") ? "?tag=" : ""}`);
  }
  const horse = path.match(/\/horses\/(\d+)\/(choose\/)?$/);
  if (horse) return map.horses[horse[1]];
  const line = path.match(/\/lines\/(\d+)\/$/);
  return line && map.lines[line[1]] ? `${map.lines[line[1]].list}?only#line-${line[1]}` : null;
};

// A kept page that is shown at the address of any line, horse or blanket.
const standIn = (path, map, barn) => {
  const line = path.match(/\/lines\/\d+\/(other|not-done)\/$/);
  if (line) return `${barn}kept/${line[1]}/`;
  const hand = path.match(/\/horses\/(\d+)\/hand-check\/$/);
  if (hand) return map.hands?.[hand[1]] ? `${barn}kept/hand-check/` : null;
  const blanket = path.match(/\/blankets\/(\d+)\/(damage\/)?$/);
  return blanket && map.blankets[blanket[1]] ? `${barn}kept/${blanket[2] || "blanket/"}` : null;
};

const kept = async (url) => {
  const path = url.pathname;
  const who = await self.barnStore.get("state", "active");
  const barn = who && `/barns/${who.slug}/`;
  if (!who || !(path === "/" || path.startsWith("/t/") || path.startsWith(barn))) return null;
  const cache = await caches.open(self.barnStore.cacheOf(who.slug, who.person));
  const exact = await cache.match(path);
  if (exact && path !== `${barn}due/` && path !== `${barn}tag/`) return exact;
  const map = await self.barnStore.get("state", `map/${who.slug}/${who.person}`);
  const other = map && instead(url, map, barn);
  const stand = map && standIn(path, map, barn);
  if (stand) return (await cache.match(stand)) || null;
  const isKept = other && (other.includes("/blankets/") || (await cache.match(other.split(/[?#]/)[0])));
  return isKept ? Response.redirect(other, 302) : exact || null;
};

// What a proxy says while the house is away; a page of ours that has a fault is shown as it is.
const HOUSE_AWAY = new Set([502, 503, 504]);

const page = async (event) => {
  const url = new URL(event.request.url);
  const path = url.pathname;
  let answer = null;
  try {
    answer = await impatient(event.request);
    if (path === self.HOUSE.phone && answer.ok) (await caches.open("phone")).put(path, answer.clone());
    if (!HOUSE_AWAY.has(answer.status)) return answer;
  } catch { /* no signal */ }
  await self.barnStore.put("state", Date.now(), "away").catch(() => {});
  if (path === self.HOUSE.phone) return (await (await caches.open("phone")).match(path)) || answer || fallback();
  return (await kept(url)) || answer || fallback();
};

// In the language of whoever is at the phone, if anybody is.
const fallback = async () => {
  const who = await self.barnStore.get("state", "active");
  const theirs = who && (await (await caches.open(self.barnStore.cacheOf(who.slug, who.person))).match(`/barns/${who.slug}/kept/no-signal/`));
  return theirs || (await (await caches.open(FILES)).match(self.HOUSE.fallback)) || Response.error();
};

const file = async (request) => {
  const known = await (await caches.open(FILES)).match(request);
  if (known && self.HOUSE.hashed) return known;
  try {
    return await fetch(request);
  } catch (fault) {
    if (known) return known;
    throw fault;
  }
};

// It never changes under its address, and no other cache keeps it.
const picture = async (request) => (await kept(new URL(request.url)).catch(() => null)) || fetch(request);

// Signing out removes the pages kept for this person and their open seal; never the queue, nor what a PIN locks.
const forget = async () => {
  const who = await self.barnStore.get("state", "active");
  if (!who) return;
  await caches.delete(self.barnStore.cacheOf(who.slug, who.person));
  await self.barnStore.forget(who.slug, who.person);
  await self.barnStore.drop("state", "active");
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== self.location.origin) return;
  if (request.method === "POST" && pathname === "/account/logout/") {
    event.waitUntil(forget());
    return;
  }
  if (request.method !== "GET" || request.headers.has("X-For-The-Phone")) return;
  if (request.mode === "navigate") event.respondWith(page(event));
  else if (pathname.startsWith("/static/")) event.respondWith(file(request));
  else if (/\/pictures\/\d+\/small\/$/.test(pathname)) event.respondWith(picture(request));
});
