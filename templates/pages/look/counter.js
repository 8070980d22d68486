// What the pages do beyond what they can do without any script: keep what is typed, go on with Enter, price while typing.
"use strict";

const tokenOf = (form) => form.elements.namedItem("token").value;

// Every change is kept, so that a closed window, a power cut or another page loses nothing.
for (const form of document.querySelectorAll("form[data-kind]")) {
  let changed = false, sent = false, waiting = 0;
  const keep = () => {
    if (!changed || sent) return;
    changed = false;
    const typed = new FormData(form);
    for (const [name, value] of [...typed]) if (value instanceof File) typed.delete(name);
    const where = `/keep/${encodeURIComponent(form.dataset.kind)}/${encodeURIComponent(form.dataset.about || "-")}`;
    fetch(where, { method: "POST", body: new URLSearchParams(typed), keepalive: true, headers: { "X-Counter-Token": tokenOf(form) } })
      .catch(() => { changed = true; });
  };
  form.addEventListener("input", () => { changed = true; clearTimeout(waiting); waiting = setTimeout(keep, 400); });
  form.addEventListener("submit", () => { sent = true; clearTimeout(waiting); });
  addEventListener("pagehide", keep);
  document.addEventListener("visibilitychange", () => { if (document.hidden) keep(); });
}

// Enter goes on to the next field; only a button sends a form.
for (const form of document.querySelectorAll("form.sheet")) {
  form.addEventListener("keydown", (event) => {
    const here = event.target;
    if (event.key !== "Enter" || !here.matches("input:not([type=file]), select")) return;
    event.preventDefault();
    // What lies in a closed part is passed over, and so is every button but the form's own: Enter presses that one.
    const seen = (each) => each.checkVisibility ? each.checkVisibility() : each.offsetParent !== null;
    const stops = [...form.querySelectorAll("input:not([type=hidden]), select, textarea, button.main")].filter((each) =>
      !each.disabled && seen(each) && (each.type !== "radio" || each.name !== here.name));
    const after = stops.filter((each) => here.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING);
    (after[0] || form.querySelector("button.main")).focus();
  });
}

// A part of the page that follows what is typed, such as the running total beside a sale.
for (const form of document.querySelectorAll("form[data-live]")) {
  let waiting = 0, asked = 0;
  const ask = async () => {
    const mine = ++asked;
    const typed = new FormData(form);
    for (const [name, value] of [...typed]) if (value instanceof File) typed.delete(name);
    try {
      const answer = await fetch(form.dataset.live, { method: "POST", body: new URLSearchParams(typed), headers: { "X-Counter-Token": tokenOf(form) } });
      if (answer.ok && mine === asked) document.getElementById("live").innerHTML = await answer.text();
    } catch { /* The page says the same once it is sent. */ }
  };
  form.addEventListener("input", () => { clearTimeout(waiting); waiting = setTimeout(ask, 300); });
}

// Whoever sent something wrong starts at what is said about it.
document.getElementById("wrong")?.focus();
