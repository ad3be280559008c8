/**
 * Serves the listed files from the cache, and does nothing else: no API call passes through here.
 * A new version is fetched beside the old one, every file held to its hash, and waits until a person agrees.
 */

const FILES = {}; // The server puts the list here: address -> SHA-256 of the file in hex.

const PREFIX = 'glovebook-files-';
const LIST = '/files-in-this-cache.json'; // kept inside each cache, so that the next version can copy what is unchanged
const AT_ONCE = 6;

addEventListener('install', (event) => event.waitUntil(fill()));
addEventListener('activate', (event) => event.waitUntil(takeOver()));
addEventListener('fetch', (event) => {
  const address = addressOf(event.request);
  if (address) event.respondWith(fromCache(address, event.request));
});
addEventListener('message', (event) => {
  if (event.data === 'use it now') event.waitUntil(skipWaiting());
  if (event.data === 'complete?') event.waitUntil(missing().then((gaps) => event.ports[0].postMessage(gaps)));
});

/** The listed address that answers a request, or null when the request is none of ours. */
function addressOf(request) {
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== location.origin) return null;
  const address = url.pathname === '/index.html' ? '/' : url.pathname;
  return Object.hasOwn(FILES, address) ? address : null;
}

let opened = null;

async function fromCache(address, request) {
  opened ??= cacheName().then((name) => caches.open(name)); // once, since a start asks for a hundred files
  const cache = await opened;
  // Without a match the browser has thrown the cache away; the network is then the only place left.
  return (await cache.match(address)) ?? fetch(request);
}

async function fill() {
  const name = await cacheName();
  const inUse = await caches.has(name); // the same files under a changed worker: the running version reads from it
  try {
    const cache = await caches.open(name);
    const kept = await earlier(name);
    const waiting = Object.entries(FILES);
    const worker = async () => {
      for (let next = waiting.pop(); next; next = waiting.pop()) await put(cache, kept, ...next);
    };
    await Promise.all(Array.from({ length: AT_ONCE }, worker));
    await cache.put(LIST, new Response(JSON.stringify(FILES)));
  } catch (problem) {
    if (!inUse) await caches.delete(name); // an install that failed leaves the old version as it was
    throw problem;
  }
}

async function put(cache, kept, address, hash) {
  const old = kept[address];
  if (old && (await hashOf(await old.clone().arrayBuffer())) === hash) return cache.put(address, old);
  const answer = await fetch(address, { cache: 'reload', redirect: 'error', credentials: 'omit' });
  if (!answer.ok || answer.redirected || answer.type !== 'basic') throw new Error(`${address}: ${answer.status}`);
  // A captive portal and a half-finished deploy both answer 200 with another body.
  if ((await hashOf(await answer.clone().arrayBuffer())) !== hash) throw new Error(`${address} is not the listed file`);
  return cache.put(address, answer);
}

/** What older caches hold of the very files that are wanted now: {address: response}. */
async function earlier(own) {
  const kept = {};
  for (const name of await caches.keys()) {
    if (!name.startsWith(PREFIX) || name === own) continue;
    const cache = await caches.open(name);
    const list = await (await cache.match(LIST))?.json();
    for (const [address, hash] of Object.entries(list ?? {})) {
      if (FILES[address] === hash) kept[address] = await cache.match(address);
    }
  }
  return kept;
}

async function takeOver() {
  const own = await cacheName();
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== own) await caches.delete(name);
  }
  await clients.claim();
}

/** Listed addresses that this version's cache does not hold. */
async function missing() {
  const cache = await caches.open(await cacheName());
  const held = new Set((await cache.keys()).map((request) => new URL(request.url).pathname));
  return Object.keys(FILES).filter((address) => !held.has(address));
}

let named = null;

/** One cache a version: named by what is in it. */
function cacheName() {
  named ??= hashOf(new TextEncoder().encode(JSON.stringify(FILES))).then((hash) => PREFIX + hash.slice(0, 16));
  return named;
}

async function hashOf(bytes) {
  const digest = await crypto.subtle.digest('SHA-256', bytes);
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
