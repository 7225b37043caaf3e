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

// The list at hand by the clock: the last that is due, or due within two hours.
const listAtHand = (map, now) => {
  const begun = map.lists.filter((list) => Date.parse(list.due_at) - 2 * 3600 * 1000 <= now);
  return (begun[begun.length - 1] || map.lists[0])?.path;
};

const instead = (path, map, slug) => {
  const barn = `/barns/${slug}/`;
  if (path === "/" || path === barn || path === `${barn}due/`) return listAtHand(map, Date.now());
  const horse = path.match(/\/horses\/(\d+)\/(choose\/)?$/);
  const blanket = path.match(/\/blankets\/(\d+)\/$/);
  return (horse && map.horses[horse[1]]) || (blanket && map.blankets[blanket[1]]) || null;
};

const kept = async (path) => {
  const who = await self.barnStore.get("state", "active");
  if (!who || (path !== "/" && !path.startsWith(`/barns/${who.slug}/`))) return null;
  const cache = await caches.open(self.barnStore.cacheOf(who.slug, who.person));
  const exact = await cache.match(path);
  if (exact && path !== `/barns/${who.slug}/due/`) return exact;
  const any = path.match(/\/lines\/\d+\/(other|not-done)\/$/);
  if (any) return (await cache.match(`/barns/${who.slug}/kept/${any[1]}/`)) || null;
  const map = await self.barnStore.get("state", `map/${who.slug}/${who.person}`);
  const other = map && instead(path, map, who.slug);
  if (other && (await cache.match(other.split("#")[0]))) return Response.redirect(other, 302);
  return exact || null;
};

const page = async (event) => {
  const path = new URL(event.request.url).pathname;
  try {
    const answer = await impatient(event.request);
    if (path === self.HOUSE.phone && answer.ok) (await caches.open("phone")).put(path, answer.clone());
    return answer;
  } catch {
    await self.barnStore.put("state", true, "away").catch(() => {});
    if (path === self.HOUSE.phone) return (await (await caches.open("phone")).match(path)) || fallback();
    return (await kept(path)) || fallback();
  }
};

const fallback = async () => (await (await caches.open(FILES)).match(self.HOUSE.fallback)) || Response.error();

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

const picture = async (request) => {
  try {
    return await fetch(request);
  } catch {
    return (await kept(new URL(request.url).pathname)) || Response.error();
  }
};

// Signing out removes the pages kept for this person and their open seal; never the queue, nor what a PIN locks.
const forget = async () => {
  const who = await self.barnStore.get("state", "active");
  if (!who) return;
  await caches.delete(self.barnStore.cacheOf(who.slug, who.person));
  await self.barnStore.drop("state", `map/${who.slug}/${who.person}`);
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
