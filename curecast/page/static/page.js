"use strict";
// Readings typed without signal wait here and are sent once; the page keeps what it shows fresh.
// Each entry has a key of its own, and the computer takes a key once, so sending again is harmless.
(() => {
  const STORE = "curecast:" + location.pathname;
  const FRESH_MS = 60e3, RETRY_MS = 8e3, LOOK_MS = 60e3, SOON_MS = 1500, OLD_MS = 20 * 60e3, WAIT_MS = 20e3;
  const page = document.getElementById("page");
  const shift = Number(page.dataset.shift) || 0;
  const value = document.getElementById("value");
  const form = document.querySelector("form[data-keep=reading]");
  const by = id => document.getElementById(id);
  let memory = { waiting: [], refused: [] }, kept = true, lost = false, busy = false, paired = true, timer = 0, looking = 0;

  const now = () => Date.now() + shift;
  const iso = ms => new Date(ms).toISOString();
  const clock = ms => new Date(ms).toTimeString().slice(0, 5);

  function read() {
    try {
      const found = JSON.parse(localStorage.getItem(STORE));
      if (found && Array.isArray(found.waiting) && Array.isArray(found.refused)) memory = found;
    } catch { kept = false; }
    return memory;
  }
  function change(how) {
    how(read());
    try { localStorage.setItem(STORE, JSON.stringify(memory)); } catch { kept = false; }
    show();
  }
  function newKey() {
    return [...crypto.getRandomValues(new Uint8Array(16))].map(b => b.toString(16).padStart(2, "0")).join("");
  }

  function line(parent, words, kind) {
    const p = document.createElement("p");
    p.className = kind;
    p.textContent = words;
    parent.append(p);
    return p;
  }
  function show() {
    const at = by("signal"), { waiting, refused } = memory;
    at.replaceChildren();
    const many = n => n === 1 ? "1 entry waits" : n + " entries wait";
    if (waiting.length) {
      const why = !paired ? "This phone is not paired any more; pair it in another tab." : lost ? "No signal." : "Sending.";
      line(at, `${why} ${many(waiting.length)} on this phone: ${waiting.map(e => e.label + " " + clock(e.at)).join(", ")}.`, "mind");
      if (lost) line(at, "Keep this page open: loading it again without signal is not promised to work."
        + (kept ? "" : " This browser keeps nothing once the page is closed."), "small");
    } else if (lost) line(at, "No signal. What you log now waits on this phone and is sent later.", "mind");
    if (refused.length) {
      for (const entry of refused) line(at, `Not taken: ${entry.label} ${clock(entry.at)}. ${entry.why}`, "bad");
      const seen = document.createElement("button");
      seen.type = "button";
      seen.textContent = "I have seen that";
      seen.onclick = () => change(m => { m.refused = []; });
      at.append(seen);
    }
    const standing = by("standing"), old = by("old");
    if (!old) return;
    const age = now() - Date.parse(standing.dataset.at);
    const missing = waiting.length > 0 || lost;
    old.hidden = !(age > OLD_MS || missing);
    old.textContent = waiting.length
      ? "This does not count in what waits on this phone, and may have changed: a release may be gone."
      : "This is how it stood then. It may have changed: a release may be gone.";
  }
  function tell(lines, odd) {
    const told = by("told");
    told.replaceChildren();
    for (const words of lines) line(told, words, "good");
    for (const words of odd) line(told, "Mind: " + words, "mind");
    told.scrollIntoView({ block: "nearest" });
  }

  const ask = (url, more) => fetch(url, {
    credentials: "same-origin", redirect: "manual", cache: "no-store",
    signal: AbortSignal.timeout ? AbortSignal.timeout(WAIT_MS) : undefined, ...more,
  });
  async function send(entry) {
    const fields = { ...entry.fields, key: entry.key, csrf: form.elements.csrf.value };
    if (Math.abs(now() - entry.at) > FRESH_MS) Object.assign(fields, { at: iso(entry.at), sent: iso(now()) });
    const answer = await ask(entry.url, {
      method: "POST", body: new URLSearchParams(fields), headers: { Accept: "application/json" },
    });
    return [answer.status, await answer.json()];
  }
  async function flush() {
    if (busy) return;
    busy = true;
    clearTimeout(timer);
    let again = false;
    try {
      while (read().waiting.length) {
        const entry = memory.waiting[0];
        let code, told;
        try { [code, told] = await send(entry); lost = false; } catch { lost = true; again = true; break; }
        if (code === 403 && !again && await look()) [code, told] = await send(entry); // a newer token
        paired = code !== 403;
        if (code === 429 || code >= 500 || code === 403) { again = true; break; }
        change(m => {
          m.waiting = m.waiting.filter(e => e.key !== entry.key);
          if (code !== 200) m.refused.push({ ...entry, why: told.error || "" });
        });
        if (code === 200) tell(told.said, told.odd);
        soon(0); // what is shown does not count it in yet
      }
    } catch { lost = true; again = true; }
    busy = false;
    show();
    if (again) timer = setTimeout(flush, RETRY_MS);
  }

  // An undo is meant for what is seen now, so it never waits; without signal the page stays open.
  async function takeBack(sent) {
    let code = 0, told = {};
    try {
      const answer = await ask(sent.action, {
        method: "POST", body: new URLSearchParams(new FormData(sent)), headers: { Accept: "application/json" },
      });
      [code, told] = [answer.status, await answer.json()];
    } catch { lost = true; }
    if (code === 200) tell(told.said, told.odd);
    else {
      tell([], []);
      line(by("told"), told.error || "No signal: nothing was taken back.", "bad");
    }
    show();
    soon(0);
  }

  async function look() {
    let text;
    try {
      const answer = await ask(location.pathname, { headers: { Accept: "text/html" } });
      if (answer.type === "opaqueredirect") { paired = false; show(); return false; }
      if (!answer.ok) return false;
      text = await answer.text();
    } catch { lost = true; show(); return false; }
    const fresh = new DOMParser().parseFromString(text, "text/html");
    for (const part of document.querySelectorAll("[data-live]")) {
      const other = fresh.getElementById(part.id);
      if (!other || (part.id === "details" && part.contains(document.activeElement))) continue;
      const open = [...part.querySelectorAll("details")].map(d => d.open);
      part.replaceWith(document.adoptNode(other));
      [...other.querySelectorAll("details")].forEach((d, i) => { d.open = open[i] || false; });
    }
    const token = fresh.querySelector("input[name=csrf]");
    if (token) for (const held of document.querySelectorAll("input[name=csrf]")) held.value = token.value;
    const was = lost;
    lost = false; paired = true;
    show();
    if (was) flush();
    return true;
  }
  function soon(wait = SOON_MS) {
    clearTimeout(looking);
    looking = setTimeout(async () => {
      await look();
      if (by("standing").dataset.current === "0" && !lost) soon();
      else later();
    }, wait);
  }
  function later() {
    clearTimeout(looking);
    looking = setTimeout(async () => { if (!document.hidden) await look(); later(); }, LOOK_MS);
  }

  const chosen = name => form.elements[name].value;
  function label() {
    const shown = value.value.trim().replace(/\s*°?\s*[cf]?$/i, "");
    by("what").textContent = shown ? `${chosen("where").replace("-", " ")} ${shown} °${chosen("unit")}` : "";
  }
  function turn(steps) {
    const unit = chosen("unit"), step = unit === "F" ? 1 : 0.5;
    let from = parseFloat(value.value.replace(",", ".").replace("−", "-"));
    if (Number.isNaN(from)) {
      from = parseFloat(value.dataset.start);
      if (Number.isNaN(from)) from = unit === "F" ? 50 : 10;
      else if (unit !== value.dataset.startUnit) from = Math.round(unit === "F" ? from * 1.8 + 32 : (from - 32) / 1.8);
    } else from += steps * step;
    value.value = String(Math.round(from * 10) / 10);
    label();
  }

  document.addEventListener("submit", event => {
    const sent = event.target, kind = sent.dataset.keep;
    event.preventDefault();
    if (!kind) return takeBack(sent);
    const fields = Object.fromEntries(new FormData(sent, event.submitter));
    delete fields.csrf;
    const what = kind === "reading" ? by("what").textContent : fields.deed;
    const entry = { url: new URL(sent.action).pathname, key: newKey(), at: now(), label: what, fields };
    change(m => m.waiting.push(entry));
    if (kind === "reading") {
      for (const id of ["value", "when", "depth"]) by(id).value = "";
      label();
    }
    flush();
  });
  form.addEventListener("input", label);
  for (const button of document.querySelectorAll("[data-step]")) {
    button.hidden = false;
    button.addEventListener("click", () => turn(Number(button.dataset.step)));
  }
  by("sign").hidden = false;
  by("sign").addEventListener("click", () => {
    const text = value.value.trim().replace("−", "-");
    value.value = text.startsWith("-") ? text.slice(1) : "-" + text;
    label();
  });
  value.inputMode = "decimal";
  document.querySelector(".jump").addEventListener("click", event => {
    event.preventDefault();
    value.focus();
    by("log").scrollIntoView();
  });
  addEventListener("online", () => { flush(); look(); });
  addEventListener("offline", () => { lost = true; show(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { look(); flush(); } });
  addEventListener("beforeunload", event => { if (read().waiting.length) event.preventDefault(); });
  by("offline-word").hidden = false;
  read(); label(); show(); flush();
  if (by("standing").dataset.current === "0") soon(); else later();
})();
