// Everything here works without it: it moves the focus, and adds buttons beside counts.
"use strict";

// What was just done, or what is wrong, is read first.
document.querySelector("[data-focus]")?.focus({ preventScroll: false });

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
      part.replaceChildren(next);
      // Objections stand above the form where the page has a place for them.
      const objections = next.querySelector("[data-objections]");
      const place = document.getElementById("objections");
      if (objections && place) place.replaceChildren(objections);
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

// A second tap does not send a form twice.
for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
}

// A page that is come back to may be sent again.
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
});
