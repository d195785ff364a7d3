// What pages gain where scripts run; every page works without.

const root = document.documentElement;

// The light-or-dark switch: at once here, kept by the server's cookie.
for (const form of document.querySelectorAll("[data-theme-switch]")) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const wanted = event.submitter?.value ?? "";
    if (wanted) root.dataset.theme = wanted;
    else delete root.dataset.theme;
    for (const button of document.querySelectorAll("[data-theme-switch] button")) {
      button.setAttribute("aria-pressed", String(button.value === wanted));
    }
    const body = new URLSearchParams(new FormData(form));
    body.set("theme", wanted);
    fetch(form.action, { method: "POST", body, redirect: "manual" });
    document.dispatchEvent(new Event("theme"));
  });
}

// The phone's "More" closes on Escape or on a touch elsewhere.
for (const more of document.querySelectorAll("[data-more]")) {
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !more.open) return;
    more.open = false;
    more.querySelector("summary").focus();
  });
  document.addEventListener("pointerdown", (event) => {
    if (more.open && !more.contains(event.target)) more.open = false;
  });
}

function ready(part) {
  // A message can be put away; it never goes by itself.
  for (const button of part.querySelectorAll("[data-put-away]")) {
    button.addEventListener("click", () => button.closest("[data-message]").remove());
  }
  for (const button of part.querySelectorAll("[data-print]")) {
    button.hidden = false;
    button.addEventListener("click", () => window.print());
  }
  // The time zone of this very clock is a better guess than the language's; never over what was chosen.
  for (const zones of part.querySelectorAll("[data-zone-guess]")) {
    const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
    if (!document.getElementById("errors") && [...zones.options].some((o) => o.value === here)) zones.value = here;
  }
  for (const figure of part.querySelectorAll("[data-chart]:not([data-ready])")) {
    figure.dataset.ready = "";
    import(figure.dataset.module).then((module) => module.draw(figure));
  }
}

ready(document);
document.getElementById("errors")?.focus();
document.addEventListener("htmx:load", (event) => ready(event.detail.elt));
document.addEventListener("htmx:afterSwap", (event) => {
  const swapped = event.detail.target.isConnected ? event.detail.target : document; // a replaced one is gone
  swapped.querySelector("[data-focus], #errors")?.focus();
});

// Paper shows what is folded on the screen.
let opened = [];
window.addEventListener("beforeprint", () => {
  opened = [...document.querySelectorAll("details.why:not([open])")];
  for (const one of opened) one.open = true;
});
window.addEventListener("afterprint", () => {
  for (const one of opened) one.open = false;
});
