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
    });
    return button;
  };
  input.before(step("One fewer", "\u2212", -1));
  input.after(step("One more", "+", 1));
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
