// Keeps the page, its manifest and its icons, and answers from what is kept first, so
// that the page works with the server gone. A page made anew has another hash, hence
// another store; the old one goes when the new one is whole.
'use strict';

const STORE = 'wheelworth-pocket-{{HASH}}';
const FILES = ['index.html', 'manifest.webmanifest', 'icon.svg', 'icon.png'];

self.addEventListener('install', (event) => {
    const fresh = FILES.map((file) => new Request(file, { cache: 'reload' }));
    event.waitUntil(caches.open(STORE).then((store) => store.addAll(fresh)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
    const old = (name) => name.startsWith('wheelworth-pocket-') && name !== STORE;
    event.waitUntil(
        caches.keys()
            .then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name))))
            .then(() => self.clients.claim()),
    );
});

self.addEventListener('fetch', (event) => {
    const asked = new URL(event.request.url);
    const home = new URL('./', self.location);
    if (event.request.method !== 'GET' || asked.origin !== home.origin) return;
    // The folder itself is the page.
    const file = asked.pathname === home.pathname ? 'index.html' : asked.pathname.slice(home.pathname.length);
    if (!asked.pathname.startsWith(home.pathname) || !FILES.includes(file)) return;
    event.respondWith(
        caches.open(STORE)
            .then((store) => store.match(new URL(file, home).href))
            .then((kept) => kept || fetch(event.request)),
    );
});
