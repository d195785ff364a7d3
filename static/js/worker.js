// Looks after the pages while there is no network: keeps the files of this version and the last rounds
// page of the member who is signed in, and nothing else. STATIC is set by the server in the line above.

const FILES = `files ${STATIC}`;
const PAGES = "pages";
const MEMBER = "Broodwater-Member";
const ASSETS = [
  "css/tokens.css", "css/base.css", "css/components.css", "css/print.css",
  "js/app.js", "js/waiting.js", "js/entry.js", "js/shelf.js", "vendor/htmx/htmx.min.js",
  "vendor/fonts/atkinson-hyperlegible-next-latin-wght-normal.woff2",
  "vendor/fonts/piazzolla-latin-wght-normal.woff2", "img/favicon.svg",
];

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  if (event.data === "keep the rounds") event.waitUntil(renew());
  if (event.data === "forget") event.waitUntil(forget());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.method === "POST" && url.pathname === "/sign-out") event.waitUntil(forget());
  if (request.method !== "GET") return;
  if (request.mode === "navigate") event.respondWith(visit(event, url));
  else if (url.pathname.startsWith("/static/")) event.respondWith(file(request, url));
});

async function install() {
  const files = await caches.open(FILES);
  await files.addAll(ASSETS.map((name) => STATIC + name));
  await files.add(new Request("/offline", { credentials: "omit" })); // it is nobody's
  await self.skipWaiting();
}

// Files of an earlier version go, unless the page that is kept still needs them.
async function activate() {
  const kept = (await (await keptRounds())?.text()) ?? "";
  for (const name of await caches.keys()) {
    const old = name.startsWith("files ") && name !== FILES;
    if (old && !kept.includes(name.slice("files ".length))) await caches.delete(name);
  }
  await self.clients.claim();
}

async function file(request, url) {
  const kept = await caches.match(request);
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok && url.pathname.startsWith(STATIC)) await (await caches.open(FILES)).put(request, answer.clone());
  return answer;
}

async function visit(event, url) {
  let answer;
  try {
    answer = await fetch(event.request);
  } catch {
    return away(url);
  }
  if ([502, 503, 504].includes(answer.status)) return away(url);
  event.waitUntil(note(answer.clone(), url));
  return answer;
}

// What is kept is renewed with each look at the rounds, and goes with its member.
async function note(answer, url) {
  const member = answer.headers.get(MEMBER);
  const before = (await keptRounds())?.headers.get(MEMBER);
  if (before && ((member && member !== before) || url.pathname.startsWith("/sign-in"))) await forget();
  if (member && answer.status === 200 && url.pathname === "/") await keep(answer, member);
}

async function keep(answer, member) {
  const headers = { [MEMBER]: member, "Kept-At": String(Date.now()) };
  for (const name of ["Content-Type", "Content-Security-Policy"]) headers[name] = answer.headers.get(name);
  await (await caches.open(PAGES)).put("/", new Response(await answer.text(), { headers }));
}

async function renew() {
  const answer = await fetch("/");
  if (!answer.redirected) await note(answer, new URL("/", location.href));
}

const forget = () => caches.delete(PAGES);
const keptRounds = async () => (await caches.open(PAGES)).match("/");

async function away(url) {
  const rounds = url.pathname === "/" ? await keptRounds() : undefined;
  if (!rounds) return (await caches.open(FILES)).match("/offline");
  const page = (await rounds.text()).replace("<html ", `<html data-kept="${rounds.headers.get("Kept-At")}" `);
  return new Response(page, { headers: rounds.headers });
}
