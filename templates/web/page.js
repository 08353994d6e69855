// Everything here works without it: it moves the focus, and adds buttons beside counts.
"use strict";

// What was just done, or what is wrong, is read first.
document.querySelector("[data-focus]")?.focus({ preventScroll: false });

// A page to print is printed by one tap.
for (const way of document.querySelectorAll("[data-print]")) {
  way.hidden = false;
  way.addEventListener("click", () => print());
}

// A list is sent to whoever goes to the shop, where the browser can send; the address of its text and a letter are there without it.
for (const way of document.querySelectorAll("[data-share]")) {
  if (!navigator.share) continue;
  way.hidden = false;
  way.addEventListener("click", async () => {
    const text = await (await fetch(way.dataset.share)).text();
    // Whoever closes the choice sends nothing.
    await navigator.share({ text }).catch(() => undefined);
  });
}

// One fewer, one more.
for (const count of document.querySelectorAll("[data-step]")) {
  const input = count.querySelector("input");
  const label = document.querySelector(`label[for="${input.id}"]`)?.textContent.trim() ?? "";
  const step = (words, sign, by) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "quiet";
    button.textContent = sign;
    button.setAttribute("aria-label", `${words}: ${label}`);
    button.addEventListener("click", () => {
      const now = Number.parseInt(input.value, 10);
      input.value = String(Math.max(Number(input.dataset.least ?? 1), (Number.isNaN(now) ? 0 : now) + by));
      input.dispatchEvent(new Event("input", { bubbles: true }));
    });
    return button;
  };
  input.before(step("One fewer", "\u2212", -1));
  input.after(step("One more", "+", 1));
}

// A slider beside a number: both say the same.
for (const slide of document.querySelectorAll("[data-slide]")) {
  const input = slide.querySelector("input");
  const range = document.createElement("input");
  range.type = "range";
  range.step = "5";
  range.setAttribute("aria-label", `${document.querySelector(`label[for="${input.id}"]`).textContent.trim()}, slider, millilitres`);
  const from = slide.dataset.most && document.getElementById(slide.dataset.most);
  const follow = () => {
    range.max = String(Number.parseFloat(from ? from.value : slide.dataset.slide) || 0);
    range.value = String(Number.parseFloat(input.value) || 0);
    range.disabled = range.max === "0";
  };
  range.addEventListener("input", () => {
    input.value = range.value;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  });
  input.addEventListener("input", () => { if (document.activeElement !== range) follow(); });
  from?.addEventListener("input", follow);
  follow();
  slide.append(range);
}

// A part of the page follows what is entered, without leaving the page: one question at a time, the last one always.
const follower = (part, said, question) => {
  let telling;
  let busy = false;
  let again = false;
  const ask = async () => {
    again = busy;
    if (busy) return;
    busy = true;
    try {
      const answer = await question();
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const next = page.querySelector("[data-said]");
      if (!next) throw new Error("no such part");
      const open = new Set([...part.querySelectorAll("[data-keep][open]")].map((one) => one.dataset.keep));
      part.replaceChildren(next);
      // Objections stand above the form where the page has a place for them.
      const objections = next.querySelector("[data-objections]");
      const place = document.getElementById("objections");
      if (objections && place) place.replaceChildren(objections);
      // So does the answer in short, which stays in sight.
      const short = next.querySelector("[data-result]");
      const bar = document.getElementById("result");
      if (short && bar) bar.replaceChildren(...short.childNodes);
      // What was opened stays open.
      for (const one of next.querySelectorAll("[data-keep]")) one.open = open.has(one.dataset.keep);
      clearTimeout(telling);
      telling = setTimeout(() => { said.textContent = next.dataset.said; }, 600);
    } catch {
      said.textContent = "The page does not answer: what stands here is of before.";
    }
    busy = false;
    if (again) ask();
  };
  return ask;
};

// Figures that follow need no button.
for (const one of document.querySelectorAll("[data-plain]")) one.hidden = true;

// The figures follow the form.
for (const form of document.querySelectorAll("form[data-figures]")) {
  const figures = document.getElementById("figures");
  if (!figures) continue;
  const ask = follower(figures, document.getElementById("said"), () => {
    const fields = new URLSearchParams(new FormData(form));
    if (form.dataset.token) fields.set("token", form.dataset.token);
    return fetch(form.dataset.figures, { method: "POST", body: fields });
  });
  form.addEventListener("input", (event) => {
    if (event.target.name && event.target.name !== "words") ask();
  });
}

// An address keeps what is chosen, so that it is still there when one comes back.
for (const form of document.querySelectorAll("form[data-address]")) {
  form.addEventListener("input", () => {
    const chosen = new URLSearchParams(new FormData(form));
    chosen.delete("token");
    history.replaceState(null, "", `?${chosen}`);
  });
}

// One more of a batch, in its own field.
document.addEventListener("click", (event) => {
  const more = event.target.closest("[data-more]");
  const input = more && document.getElementById(more.dataset.more);
  if (!input) return;
  event.preventDefault();
  input.value = String((Number.parseInt(input.value, 10) || 0) + 1);
  input.dispatchEvent(new Event("input", { bubbles: true }));
});

// Another child is seen at the address as it is by now.
for (const link of document.querySelectorAll("[data-whom]")) {
  link.addEventListener("click", () => {
    const now = new URLSearchParams(location.search);
    now.delete("notice");
    now.set("child", link.dataset.whom);
    link.search = `?${now}`;
  });
}

// Recipes are found by a part of their name.
for (const filter of document.querySelectorAll("[data-filter]")) {
  filter.hidden = false;
  const rows = [...document.getElementById(filter.dataset.filter).children];
  filter.querySelector("input").addEventListener("input", (event) => {
    const words = event.target.value.toLowerCase().split(/\s+/);
    for (const row of rows) row.hidden = !words.every((word) => row.textContent.toLowerCase().includes(word));
  });
}

// Today and yesterday are one tap; any other day has its field.
for (const field of document.querySelectorAll("[data-days]")) {
  const input = field.querySelector("input[type=date]");
  const today = document.body.dataset.today;
  if (!today) continue;
  const before = new Date(`${today}T12:00:00Z`);
  before.setUTCDate(before.getUTCDate() - 1);
  const days = [["Today", today], ["Yesterday", before.toISOString().slice(0, 10)]];
  const chips = document.createElement("div");
  chips.className = "choices days";
  const buttons = days.map(([name, day]) => {
    const chip = document.createElement("button");
    chip.type = "button";
    chip.className = "quiet chip";
    chip.textContent = name;
    chip.addEventListener("click", () => { input.value = day; show(); });
    chips.append(chip);
    return [chip, day];
  });
  const show = () => { for (const [chip, day] of buttons) chip.setAttribute("aria-pressed", String(input.value === day)); };
  input.addEventListener("input", show);
  input.before(chips);
  show();
}

// What is typed is kept in this browser until it is saved.
const drafts = {
  name: (key) => `trayful-draft ${key}`,
  get: (key) => { try { return localStorage.getItem(drafts.name(key)); } catch { return null; } },
  set: (key, text) => { try { localStorage.setItem(drafts.name(key), text); } catch { /* a browser that keeps nothing */ } },
  drop: (key) => { try { localStorage.removeItem(drafts.name(key)); } catch { /* the same */ } },
};
for (const form of document.querySelectorAll("form[data-draft]")) {
  const key = form.dataset.draft;
  const typed = () => {
    const fields = new URLSearchParams(new FormData(form));
    fields.delete("token");
    return fields;
  };
  const keep = () => {
    const fields = typed();
    if (fields.has("food-0") || fields.get("words")) drafts.set(key, String(fields));
  };
  const kept = drafts.get(key);
  if (!typed().has("food-0") && !typed().get("words") && kept) {
    const offer = document.createElement("p");
    offer.className = "doors";
    const take = document.createElement("button");
    take.type = "button";
    take.className = "quiet";
    take.textContent = "Take up the draft";
    take.addEventListener("click", () => {
      for (const [name, value] of new URLSearchParams(kept)) {
        const field = form.elements.namedItem(name);
        if (field && field.type !== "hidden" && "value" in field) { field.value = value; continue; }
        const hidden = Object.assign(document.createElement("input"), { type: "hidden", name, value });
        form.append(hidden);
      }
      const work = Object.assign(document.createElement("input"), { type: "hidden", name: "work", value: "yes" });
      form.append(work);
      form.submit();
    });
    const drop = document.createElement("button");
    drop.type = "button";
    drop.className = "quiet";
    drop.textContent = "Drop it";
    drop.addEventListener("click", () => { drafts.drop(key); offer.remove(); });
    offer.append(take, drop);
    form.before(offer);
  }
  keep();
  form.addEventListener("input", keep);
  form.addEventListener("submit", (event) => {
    if (event.submitter?.name === "save") sessionStorage.setItem("trayful-saved", key);
  });
}
for (const offer of document.querySelectorAll("[data-drafts]")) offer.hidden = !drafts.get(offer.dataset.drafts);
// A draft that was saved is one no longer: a notice says so on the page that follows.
try {
  const saved = sessionStorage.getItem("trayful-saved");
  if (saved && document.querySelector(".notice")) drafts.drop(saved);
  if (saved && !document.querySelector("form[data-draft]")) sessionStorage.removeItem("trayful-saved");
} catch { /* a browser that keeps nothing */ }

// Where one was in a room is kept for the way back to it.
try {
  const here = `trayful-place ${location.pathname}`;
  window.addEventListener("pagehide", () => sessionStorage.setItem(here, String(scrollY)));
  const links = document.querySelectorAll("nav a");
  for (const link of links) link.addEventListener("click", () => sessionStorage.setItem("trayful-come", link.pathname));
  if (sessionStorage.getItem("trayful-come") === location.pathname) {
    sessionStorage.removeItem("trayful-come");
    const at = Number(sessionStorage.getItem(here));
    if (at && !document.querySelector("[data-focus]")) scrollTo(0, at);
  }
} catch { /* the same */ }

// The bar of the answer stands on that of the places, however tall that is.
const bar = document.querySelector("nav");
if (bar) {
  const measure = () => {
    const stuck = getComputedStyle(bar).position === "sticky" && getComputedStyle(bar).bottom === "0px";
    const answer = document.querySelector(".result");
    if (answer) document.documentElement.style.setProperty("--result", `${answer.offsetHeight}px`);
    document.documentElement.style.setProperty("--bar", stuck ? `${bar.offsetHeight}px` : "0px");
  };
  const watch = new ResizeObserver(measure);
  for (const one of document.querySelectorAll("nav, .result")) watch.observe(one);
  measure();
}

// A part that is looked at again twice a second while it is at work, or a form of it is on its way. It is told every few seconds.
const live = async (id, from, sending) => {
  const said = document.getElementById("said");
  let told = 0;
  while (sending ? sending.on : document.getElementById(id).dataset.live) {
    await new Promise((wake) => setTimeout(wake, 500));
    try {
      const page = new DOMParser().parseFromString(await (await fetch(from)).text(), "text/html");
      const now = page.getElementById(id);
      // What became of an earlier one is not what is on its way.
      if (!now || (sending && !now.dataset.live)) continue;
      document.getElementById(id).replaceWith(now);
      if (now.dataset.live && Date.now() - told < 4000) continue;
      told = Date.now();
      said.textContent = now.dataset.said;
    } catch {
      said.textContent = "The page does not answer.";
    }
  }
};
for (const part of document.querySelectorAll("[data-live]")) live(part.id, part.dataset.live);

// A file is sent beside the page, so that the page shows how far it is.
document.addEventListener("submit", async (event) => {
  const form = event.target.closest("[data-sends]");
  if (!form) return;
  event.preventDefault();
  const id = form.dataset.sends;
  const sending = { on: true };
  const sent = fetch(form.action, { method: "POST", body: new FormData(form) });
  form.querySelector("button").disabled = true;
  const shown = live(id, form.action, sending);
  const answer = await sent.catch(() => null);
  sending.on = false;
  await shown;
  if (answer?.ok || document.getElementById(id).dataset.live) return window.location.assign(form.action);
  form.querySelector("button").disabled = false;
  const page = answer && new DOMParser().parseFromString(await answer.text(), "text/html");
  const words = document.createElement("p");
  words.className = "fault";
  words.textContent = page?.querySelector("main p")?.textContent ?? "The page did not take the file.";
  form.parentNode.querySelector(".fault")?.remove();
  form.before(words);
  document.getElementById("said").textContent = words.textContent;
});

// Foods are found while their name is typed.
for (const words of document.querySelectorAll("[data-find]")) {
  const ask = follower(document.getElementById("found"), document.getElementById("found-said"),
    () => fetch(`${words.dataset.find}?${new URLSearchParams({ words: words.value })}`));
  words.addEventListener("input", ask);
}

// The day on which the page was loaded, as this device has it.
const loaded = new Date().toDateString();
const isOfToday = () => new Date().toDateString() === loaded;
let touched = false;
document.addEventListener("input", () => { touched = true; });
const ofThisDay = () => { if (!document.hidden && !touched && !isOfToday() && document.body.dataset.today) location.reload(); };
document.addEventListener("visibilitychange", ofThisDay);

// A form that records something is not lost when the kitchen computer does not answer: it is kept in this browser and sent once, by its
// key, as soon as the computer answers again.
const outbox = {
  name: "trayful-kept",
  all: () => { try { return JSON.parse(localStorage.getItem(outbox.name) ?? "[]"); } catch { return []; } },
  put: (all) => { try { localStorage.setItem(outbox.name, JSON.stringify(all)); return true; } catch { return false; } },
};
const said = document.createElement("p");
said.className = "banner kept";
said.setAttribute("role", "status");
said.hidden = true;
document.querySelector(".leaf")?.before(said);
const tell = (words) => { said.textContent = words; said.hidden = words === ""; said.classList.remove("grave"); };
const entries = (count) => (count === 1 ? "1 entry" : `${count} entries`);
const holds = (one, ...names) => names.some((name) => new URLSearchParams(one.fields).get(name)?.trim());
const waiting = () => {
  const all = outbox.all();
  tell(all.length === 0 ? "" : `The kitchen computer does not answer. ${entries(all.length)} kept on this device; sent when it answers again.`);
  // A reaction does not wait for the computer.
  if (!all.some((one) => holds(one, "seen"))) return;
  said.classList.add("grave");
  said.prepend(Object.assign(document.createElement("strong"), { textContent: document.body.dataset.call }), " ");
};
// The token of the run that answers now, for this page and what it sends: the kitchen page may have been started again.
const freshToken = async () => {
  const page = new DOMParser().parseFromString(await (await fetch("/more")).text(), "text/html");
  const token = page.body.dataset.token;
  if (token === undefined) throw new Error("no page of the kitchen");
  document.body.dataset.token = token;
  for (const field of document.querySelectorAll("input[name=token]")) field.value = token;
  for (const form of document.querySelectorAll("form[data-token]")) form.dataset.token = token;
  return token;
};
// Sends one; a page that answers without going on, such as the form again, recorded nothing.
const send = async ({ action, fields, key }, token, again = true) => {
  const body = new URLSearchParams(fields);
  body.set("token", token);
  body.set("key", key);
  const answer = await fetch(action, { method: "POST", body });
  if (answer.status === 403 && again) return send({ action, fields, key }, await freshToken(), false);
  const { pathname, search } = new URL(answer.url);
  // A device that is let in no longer keeps what it was to send.
  if (pathname === "/pair") throw new Error("not let in");
  return { done: answer.redirected, to: pathname + search };
};
// What the kitchen did not take is looked at again as the form that it was, or dropped by hand: it is never lost unseen.
const offer = (token) => {
  const refused = outbox.all().filter((one) => one.refused);
  if (refused.length === 0) return;
  tell(`${entries(refused.length)} kept on this device could not be recorded as ${refused.length === 1 ? "it is" : "they are"}:`);
  for (const one of refused) {
    const form = Object.assign(document.createElement("form"), { method: "post", action: one.action });
    form.dataset.direct = "yes";
    for (const [name, value] of [...new URLSearchParams(one.fields), ["token", token]]) form.append(Object.assign(document.createElement("input"), { type: "hidden", name, value }));
    const button = (words, act) => form.append(Object.assign(document.createElement("button"), { className: "quiet", textContent: words, type: act ? "button" : "submit", onclick: act ?? null }));
    const drop = () => { outbox.put(outbox.all().filter((other) => other.key !== one.key)); form.remove(); };
    form.addEventListener("submit", drop);
    button(`Look at it: ${one.words}`);
    button("Drop it", drop);
    said.append(" ", form);
  }
};
let sending = false;
const empty = async () => {
  if (sending || outbox.all().length === 0) return;
  sending = true;
  let sent = 0;
  const answers = [];
  try {
    const token = await freshToken();
    for (const one of outbox.all().filter((one) => !one.refused)) {
      const { done, to } = await send(one, token);
      if (!done) {
        outbox.put(outbox.all().map((other) => (other.key === one.key ? { ...other, refused: true } : other)));
        continue;
      }
      sent += 1;
      if (holds(one, "seen", "words", "question")) answers.push(to);
      outbox.put(outbox.all().filter((other) => other.key !== one.key));
    }
    offer(token);
    if (sent > 0 && outbox.all().length === 0) {
      tell(`${entries(sent)} that ${sent === 1 ? "was" : "were"} kept on this device ${sent === 1 ? "is" : "are"} recorded now.`);
      document.dispatchEvent(new Event("recorded"));
    }
    for (const href of answers) said.append(" ", Object.assign(document.createElement("a"), { href, textContent: "Read what it says" }));
  } catch {
    waiting();
  }
  sending = false;
};
// What is kept says its own day, so that it may be sent later. Catching up, a visit that took place and what the doctor cleared do not.
const KEPT = /^\/($|freezer\/\d+\/(serve|discard)$|mix$|household(\/|$)|history\/\d+(\/seen)?$|cook\/recipe\/[^/]+\/freeze$|money$|visit(\/questions\/\d+)?$)/;
document.addEventListener("submit", async (event) => {
  const form = event.target;
  const action = new URL(event.submitter?.getAttribute("formaction") ?? form.getAttribute("action") ?? "", location.href).pathname;
  if (event.defaultPrevented || form.method !== "post" || form.dataset.direct || "direct" in (event.submitter?.dataset ?? {}) || form.enctype === "multipart/form-data" || !KEPT.test(action)) return;
  event.preventDefault();
  const fields = new URLSearchParams(new FormData(form, event.submitter));
  const token = fields.get("token");
  fields.delete("token");
  const words = (event.submitter?.textContent ?? "an entry").trim();
  const one = { action, fields: String(fields), key: crypto.getRandomValues(new Uint32Array(4)).join("-"), words };
  try {
    const { done, to } = await send(one, token);
    if (done) return location.assign(to);
    // The form again, with what is wrong in it, as the browser shows it.
    form.dataset.direct = "yes";
    delete form.dataset.sent;
    form.requestSubmit(event.submitter);
  } catch {
    delete form.dataset.sent;
    // What was sent on the day that its page showed is of that day, however late it arrives.
    if (isOfToday()) { fields.delete("opened"); one.fields = String(fields); }
    if (!outbox.put([...outbox.all(), one])) return tell("The kitchen computer does not answer, and this browser keeps nothing: write it down, and enter it later.");
    form.reset();
    waiting();
    said.scrollIntoView({ block: "nearest" });
  }
});
if (outbox.all().length > 0) empty();
setInterval(empty, 5000);
window.addEventListener("online", empty);

// A second tap does not send a form twice.
for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
}

// A page that is come back to may be sent again. On another day it is loaded anew, unless something was typed into it.
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
  ofThisDay();
});
