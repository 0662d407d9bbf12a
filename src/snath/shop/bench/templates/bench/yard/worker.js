// Stands between the pages and the network: where the bench does not answer, the yard's page does, and never the
// browser's own error page. It keeps that page and the files pages are made of; no page with anything of a customer.
"use strict";

const KEPT = "snath-1";
const YARD = "{% url 'bench:yard' %}";
const UNSENT = "{% url 'bench:yard-unsent' %}";
const FILES = "{{ static_url }}";

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll([YARD, UNSENT])));
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (name !== KEPT) await caches.delete(name);
    await self.clients.claim();
  })());
});

const keep = async (address, reply) => {
  if (reply.ok && !reply.redirected) await (await caches.open(KEPT)).put(address, reply.clone());
  return reply;
};

const page = async (request) => {
  try {
    const reply = await fetch(request);
    return new URL(request.url).pathname === YARD && request.method === "GET" ? await keep(YARD, reply) : reply;
  } catch {
    return (await caches.match(request.method === "GET" ? YARD : UNSENT)) ?? Response.error();
  }
};

const file = async (request) => {
  try { return await keep(request, await fetch(request)); } catch { return (await caches.match(request)) ?? Response.error(); }
};

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (address.origin !== location.origin) return;
  if (event.request.mode === "navigate") event.respondWith(page(event.request));
  else if (event.request.method === "GET" && address.pathname.startsWith(FILES)) event.respondWith(file(event.request));
});
