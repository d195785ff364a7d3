// Makes of a filled form what can wait: its fields, its day, its key, and words to know it by.

const root = document.documentElement;
export const member = root.dataset.member;
export const kept = Number(root.dataset.kept ?? 0);

// The server's clock against this one: a wrong clock must not date a drop. Kept pages were made when kept.
const ahead = Number(root.dataset.now ?? 0) - (kept || Date.now());
const skew = member && Math.abs(ahead) > 300_000 ? ahead : 0;

// One key for each time a form is sent; unlike randomUUID this also works without https.
function newKey() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

export function made(form, submitter) {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  const key = newKey();
  data.set("once", key);
  const now = new URLSearchParams(data).toString();
  const at = Date.now();
  dated(data, form.dataset.waits.split(" "), at + skew);
  const body = new URLSearchParams(data).toString();
  const page = form.hasAttribute("hx-post") ? "" : form.getAttribute("action");
  return { key, member, url: form.getAttribute("action"), page, now, body, at, words: words(form, submitter) };
}

// "Today" and "now" are when it was logged, not when it is sent; what was typed stays.
function dated(data, [day, hour], at) {
  if (day === "now" || data.get(day)) return;
  const clock = { timeZone: root.dataset.zone, dateStyle: "short", timeStyle: "short" };
  const [date, time] = new Intl.DateTimeFormat("sv-SE", clock).format(at).split(" ");
  data.set(day, date);
  if (hour && !data.get(hour)) data.set(hour, time);
}

function plain(part) {
  const copy = part.cloneNode(true);
  for (const extra of copy.querySelectorAll(".may, .unseen")) extra.remove();
  return copy.textContent.trim().replace(/\s+/g, " ");
}

function words(form, submitter) {
  const whole = (part) => part?.textContent.trim().replace(/\s+/g, " ") ?? "";
  if (form.matches(".act")) return whole(submitter);
  const about = form.dataset.words ?? whole(document.querySelector("h1"));
  const typed = [...form.elements].filter(changed).map((one) => `${plain(one.labels[0]).replace(", today", "")} ${shown(one)}`);
  return [about, typed.join(", ")].filter(Boolean).join(": ");
}

function changed(one) {
  if (!one.name || !one.labels?.length) return false;
  if (one.matches("[type=radio], [type=checkbox]")) return one.checked && !one.defaultChecked;
  if (one.localName === "select") return [...one.selectedOptions].some((o) => !o.defaultSelected && o.value);
  return one.value !== "" && one.value !== one.defaultValue;
}

function shown(one) {
  if (one.matches("[type=radio], [type=checkbox]")) return "";
  return one.localName === "select" ? one.selectedOptions[0].text : one.value;
}
