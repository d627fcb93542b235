// What a page does beside being read: lines go out without a new page, and what changed comes in by itself.
// Without this script every form and link works as well.
"use strict";

const token = document.body.dataset.token;
const slip = document.getElementById("slip");

// ---- lines

// Sends a form and shows what became of it.
async function send(form, key) {
  const fields = new URLSearchParams(new FormData(form));
  if (key && key.name) fields.append(key.name, key.value);
  form.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(form.getAttribute("action"), {
      method: "POST", body: fields, headers: { "x-part": "1" },
    });
    if (answer.redirected) { location.assign(answer.url); return; }
    if (answer.status === 401) { location.reload(); return; }
    const go = answer.headers.get("x-go");
    if (go) { location.assign(go); return; }
    show(await answer.text());
    if (answer.ok) said(form);
  } catch {
    show(null);
  } finally {
    form.removeAttribute("aria-busy");
  }
}

// What was answered; none if the page's own program is gone.
function show(text) {
  if (!slip) return;
  if (text === null) {
    slip.replaceChildren(note(slip.dataset.gone));
  } else {
    const parsed = new DOMParser().parseFromString(text, "text/html");
    const part = parsed.querySelector("[data-slip], main");
    slip.replaceChildren(...(part ? [document.importNode(part, true)] : []));
  }
  const close = slip.querySelector("[data-close]");
  if (close) close.hidden = false;
  const first = slip.querySelector("[data-asks] h2");
  if (first) first.focus();
  for (const form of slip.querySelectorAll("[data-undo]")) {
    const shown = slip.firstElementChild;
    setTimeout(() => { if (form.isConnected && shown === slip.firstElementChild) form.remove(); },
      Number(form.dataset.undo));
  }
}

function note(words) {
  const p = document.createElement("p");
  p.className = "slip wrong";
  p.textContent = words;
  return p;
}

// What was said is said: the line is empty again, and nothing is chosen.
function said(form) {
  const line = form.querySelector("#line");
  if (line) line.value = "";
  if (!slip.querySelector("[data-asks]")) {
    document.dispatchEvent(new CustomEvent("burrline-said", { detail: form }));
  }
  fresh();
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-say]")) return;
  event.preventDefault();
  if (form.getAttribute("aria-busy") !== "true") send(form, event.submitter);
});

document.addEventListener("click", (event) => {
  const close = event.target.closest("[data-close]");
  if (close) slip.replaceChildren();
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && slip && !slip.querySelector("[data-asks]")) slip.replaceChildren();
});

// ---- what changed

let asking = null;

// Takes up the parts of this page that live, from the page as it is now.
async function fresh() {
  if (asking) { asking.again = true; return; }
  asking = { again: false };
  try {
    const answer = await fetch(location.href, { headers: { "x-fresh": "1" } });
    if (answer.status === 401) { location.reload(); return; }
    const now = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const part of document.querySelectorAll("[data-live]")) {
      const other = now.getElementById(part.id);
      if (other && other.innerHTML !== part.dataset.was) swap(part, other);
    }
    document.body.removeAttribute("data-gone");
  } catch {
    document.body.setAttribute("data-gone", "");
  }
  const again = asking.again;
  asking = null;
  if (again) fresh();
}

// The part as it is now, with what was tapped and where the hand stood in the old one.
function swap(part, other) {
  const marks = (input) => `${input.name} ${input.value}`;
  const tapped = new Set([...part.querySelectorAll("input:checked")].map(marks));
  const at = part.contains(document.activeElement) ? document.activeElement : null;
  const where = at && at.name ? marks(at) : null;
  part.dataset.was = other.innerHTML;
  part.replaceChildren(...[...other.childNodes].map((node) => document.importNode(node, true)));
  for (const input of part.querySelectorAll("input")) {
    if (tapped.has(marks(input))) input.checked = true;
    if (where === marks(input)) input.focus({ preventScroll: true });
  }
  document.dispatchEvent(new CustomEvent("burrline-fresh"));
}

for (const part of document.querySelectorAll("[data-live]")) part.dataset.was = part.innerHTML;

if (token) {
  const news = new EventSource("/events");
  news.onmessage = (event) => {
    const said = JSON.parse(event.data);
    if (said === "changed") fresh();
    else document.dispatchEvent(new CustomEvent("burrline-news", { detail: said }));
  };
  news.onerror = () => document.body.setAttribute("data-gone", "");
  news.onopen = () => fresh();
}
