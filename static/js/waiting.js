// Logging while there is no network: what is sent in vain waits here, and is sent once when it can be.
// Each form has a key of its own; the server counts a key once, however often it comes.

import { kept, made, member } from "./entry.js";
import { all, drop, has, keep } from "./shelf.js";

const PATIENCE = 20_000;
const AGAIN = 20_000;
const state = { sent: [], signedOut: false, troubled: "", back: false };
let sending = false;
let timer;

const post = (url, body, how) =>
  fetch(url, {
    method: "POST", body: new URLSearchParams(body), redirect: "follow",
    headers: { "Broodwater-Waits": how }, signal: AbortSignal.timeout(PATIENCE),
  });

// Forms that lead on to another page.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!member || event.defaultPrevented || !form.matches("form[data-waits]:not([hx-post])")) return;
  event.preventDefault();
  if (form.classList.contains("htmx-request")) return;
  form.classList.add("htmx-request");
  log(form, made(form, event.submitter));
});

async function log(form, one) {
  try {
    const answer = await post(one.url, one.now, "now");
    if (answer.status === 422) return showAgain(await answer.text());
    if (answer.ok) return goOn((await answer.json()).to);
  } catch {
    // no answer, or half of one: it waits with its key
  }
  form.classList.remove("htmx-request");
  await wait(one, form);
}

function goOn(to) {
  const there = new URL(to, location.href);
  const same = there.pathname + there.search === location.pathname + location.search;
  location.assign(there);
  if (same && there.hash) location.reload();
}

function showAgain(html) {
  const fresh = document.adoptNode(new DOMParser().parseFromString(html, "text/html").getElementById("content"));
  document.getElementById("content").replaceWith(fresh);
  window.htmx?.process(fresh);
  document.dispatchEvent(new CustomEvent("htmx:load", { detail: { elt: fresh } }));
  fresh.querySelector("#errors")?.focus();
}

// Forms that log in place.
const underway = new WeakMap();
document.addEventListener("htmx:configRequest", (event) => {
  const { elt, parameters, triggeringEvent } = event.detail;
  if (!member || !elt.matches("form[data-waits]")) return;
  const one = made(elt, triggeringEvent?.submitter);
  parameters.once = one.key;
  event.detail.timeout = PATIENCE;
  underway.set(elt, one);
});
for (const failure of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
  document.addEventListener(failure, (event) => {
    const one = underway.get(event.detail.elt);
    if (one) wait(one, event.detail.elt);
  });
}

async function wait({ now, ...one }, form) {
  try {
    await keep(one);
    form.reset(); // what is typed next is another entry
    state.troubled = "";
  } catch {
    state.troubled = `Not logged, as there is no network and this browser keeps nothing: ${one.words}`;
  }
  await show();
  document.querySelector("[data-waiting]")?.scrollIntoView({ block: "nearest" });
  if (!state.troubled) await send();
}

const mine = async () => (await all()).filter((one) => one.member === member);

// Whose session this is, and a fresh token; nothing without network or when somebody else is signed in.
async function ticket() {
  try {
    const answer = await fetch("/waiting", { redirect: "manual", signal: AbortSignal.timeout(PATIENCE) });
    state.signedOut = answer.type === "opaqueredirect";
    if (!answer.ok) return null;
    const given = await answer.json();
    state.signedOut = given.member !== member;
    state.back = true;
    return state.signedOut ? null : given.token;
  } catch {
    return null;
  }
}

async function send() {
  if (!member || sending) return;
  sending = true;
  clearTimeout(timer);
  try {
    const list = (await mine()).filter((one) => !one.trouble);
    const token = list.length || kept ? await ticket() : null;
    if (token) for (const one of list) if ((await has(one.key)) && !(await sendOne(one, token))) break;
    if (list.length || (kept && !state.back)) timer = setTimeout(send, AGAIN);
  } finally {
    sending = false;
    await show();
  }
}

async function sendOne(one, token) {
  const body = new URLSearchParams(one.body);
  body.set("csrf_token", token);
  try {
    const answer = await post(one.url, body, "later");
    if (answer.status >= 500) return false;
    if (answer.ok) {
      state.sent.push(await answer.json());
      await drop(one.key);
      renewRounds();
    } else {
      await keep({ ...one, trouble: await reason(answer) });
    }
    return true;
  } catch {
    return false;
  }
}

async function reason(answer) {
  if (answer.headers.get("Content-Type")?.includes("json")) return (await answer.json()).words;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const told = [...page.querySelectorAll("#errors li")].map((one) => one.textContent.trim());
  return told.join(" ") || page.querySelector(".lead")?.textContent.trim() || "The server refused it.";
}

// The list of what waits, at the top of every page of its member; elsewhere only how much it is.
function part(name, words, css = "") {
  const made = document.createElement(name);
  made.textContent = words;
  made.className = css;
  return made;
}

function button(words, about, act) {
  const made = part("button", words, "button button-quiet");
  made.type = "button";
  made.append(part("span", `: ${about}`, "unseen"));
  made.addEventListener("click", act);
  return made;
}

function row(one) {
  const line = part("li", "", "section-row");
  const told = part("p", "");
  told.append(part("strong", one.words), ` ${clock.format(one.at)}`);
  if (one.trouble) told.append(part("span", `Not logged: ${one.trouble}`, "error"));
  line.append(told);
  if (one.trouble && one.page) {
    const form = part("a", "Open the form", "button button-quiet");
    form.href = one.page;
    line.append(form);
  }
  if (one.trouble) line.append(button("Send again", one.words, () => keep({ ...one, trouble: "" }).then(send)));
  line.append(button("Cancel", one.words, () => drop(one.key).then(show)));
  return line;
}

const clock = new Intl.DateTimeFormat("en-GB", {
  weekday: "short", day: "numeric", month: "long", hour: "2-digit", minute: "2-digit",
});
const many = (n, one, more) => (n === 1 ? `1 ${one}` : `${n} ${more}`);

function notices(list) {
  const parts = [];
  if (kept && !state.back) {
    parts.push(part("p", `No network. These are the rounds of ${clock.format(kept)}; what you log here waits and is sent later.`));
  }
  if (kept && state.back && !state.signedOut) parts.push(afresh("The network is back. "));
  if (state.signedOut) {
    const line = part("p", "You are signed out. ");
    const way = part("a", "Sign in");
    way.href = `/sign-in?next=${encodeURIComponent(location.pathname)}`;
    line.append(way, list.length ? ", and what waits is sent." : " to go on.");
    parts.push(line);
  }
  if (state.troubled) parts.push(part("p", state.troubled, "error"));
  for (const one of state.sent) parts.push(part("p", `Sent: ${one.words}`));
  if (state.sent.length && !kept) parts.push(afresh(""));
  return parts;
}

function afresh(words) {
  const line = part("p", words);
  const way = part("a", "Show this page as it is now");
  way.href = location.href.split("#")[0];
  line.append(way);
  return line;
}

function listed(list) {
  const parts = [];
  const waits = list.filter((one) => !one.trouble);
  const refused = list.filter((one) => one.trouble);
  for (const [some, words] of [
    [waits, `${many(waits.length, "entry waits", "entries wait")} for the network`],
    [refused, `${many(refused.length, "entry was", "entries were")} refused`],
  ]) {
    if (!some.length) continue;
    const rows = part("ul", "", "rows");
    rows.append(...some.map(row));
    parts.push(part("h2", words), rows);
  }
  return parts;
}

async function show() {
  const list = await all().catch(() => []);
  const own = list.filter((one) => member && one.member === member);
  const parts = member ? [...notices(own), ...listed(own)] : [];
  if (!member && list.length) {
    parts.push(part("p", `${many(list.length, "entry waits", "entries wait")} on this device, and will be sent when its member is back on the rounds.`));
  }
  for (const place of document.querySelectorAll("[data-waiting]")) {
    place.hidden = !parts.length;
    place.replaceChildren(...parts);
  }
  mark(own);
}

// A form whose like waits already says so.
function mark(list) {
  for (const old of document.querySelectorAll(".waits")) old.remove();
  for (const form of document.querySelectorAll("form[data-waits]")) {
    const asked = form.elements.namedItem("key")?.value;
    const like = (one) => one.url === form.getAttribute("action") && (!asked || new URLSearchParams(one.body).get("key") === asked);
    if (list.some((one) => !one.trouble && like(one))) form.append(part("p", "Waits to be sent", "waits small"));
  }
}

function renewRounds() {
  navigator.serviceWorker?.controller?.postMessage("keep the rounds");
}

let later;
document.addEventListener("htmx:afterSwap", () => {
  show();
  clearTimeout(later); // the rounds have changed in place: keep them as they are now
  if (location.pathname === "/") later = setTimeout(renewRounds, 2000);
});

// What stands on a kept page can be read; only what may wait can be sent.
if (kept) {
  for (const told of document.querySelectorAll("[data-message], .said")) told.remove();
  for (const one of document.querySelectorAll("form:not([data-waits]) button")) one.disabled = true;
}

if (navigator.serviceWorker) {
  const first = !navigator.serviceWorker.controller;
  navigator.serviceWorker.register("/worker.js").catch(() => {}); // a private window may refuse
  if (first && member) navigator.serviceWorker.ready.then((worker) => worker.active.postMessage("keep the rounds"));
}

window.addEventListener("online", send);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
show().then(send);
