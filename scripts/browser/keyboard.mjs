// Every element that the keyboard focuses shows its focus, and is not covered by another.
import { Window } from "./browser.mjs";
import { check } from "./checks.mjs";

const MOST_STOPS = 120;

function stopped() {
  const element = document.activeElement;
  if (element === document.body) return null;
  const around = element.closest("label.choice") ?? element;
  const { outlineStyle, outlineWidth } = getComputedStyle(around);
  const box = element.getBoundingClientRect();
  const across = (Math.max(box.left, 0) + Math.min(box.right, innerWidth)) / 2;
  const on = document.elementFromPoint(across, (Math.max(box.top, 0) + Math.min(box.bottom, innerHeight)) / 2);
  const bars = [...document.querySelectorAll("nav, .result")].filter((bar) => !bar.contains(element) && getComputedStyle(bar).position === "sticky" && getComputedStyle(bar).bottom !== "auto");
  if (element.closest("nav, .result")) bars.length = 0;
  const foot = Math.min(innerHeight, ...bars.map((bar) => bar.getBoundingClientRect().top));
  return {
    seen: outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 3,
    covered: !(element.contains(on) || on?.contains(element)),
    // What is taller than the room above the bar cannot be seen whole.
    under: box.bottom > foot + 1 && box.height < foot,
    name: `${element.tagName} ${(element.textContent.trim() || element.name || "").slice(0, 30)}`,
  };
}

// Goes from stop to stop of the page that is open.
export async function stops(page, where) {
  for (let stop = 0; stop < MOST_STOPS; stop += 1) {
    await page.keyboard.press("Tab");
    const told = await page.evaluate(stopped);
    if (told === null) return;
    check(told.seen, `${where}: no focus to be seen at ${told.name}`);
    check(!told.covered, `${where}: covered: ${told.name}`);
    check(!told.under, `${where}: under the bar: ${told.name}`);
  }
}

export async function keyboard(browser, served, paths) {
  const window = await Window.open(browser, served.address, "keyboard", undefined, { viewport: { width: 360, height: 740 } });
  for (const path of paths) {
    await window.go(path);
    await stops(window.page, `keyboard ${path}`);
  }
  await window.close();
}
