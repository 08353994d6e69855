// The checks of every page, and the count of those that passed.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
// The least side of a target, and the least distance between two, in CSS pixels; more than WCAG 2.5.8 asks for (judgement).
const LEAST = 48;
const APART = 8;
// The most faults that a failure lists.
const MOST_LISTED = 4;

export const failures = [];
export let passed = 0;

export function check(good, what) {
  if (good) passed += 1;
  else failures.push(what);
}

// Two values that must be equal.
export function same(one, other, what) {
  check(one === other, `${what}: ${JSON.stringify(one)}, not ${JSON.stringify(other)}`);
}

// A list of faults that must be empty; a failure lists the first few.
export function none(faults, what) {
  const more = faults.length > MOST_LISTED ? `; and ${faults.length - MOST_LISTED} more` : "";
  check(faults.length === 0, `${what}: ${faults.slice(0, MOST_LISTED).join("; ")}${more}`);
}

// Pixels by which the page is wider than the screen.
export async function notWider(page, where) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  check(wide <= 0, `${where}: ${wide} px wider than the screen`);
}

// Targets that are too small, or too near to another; links inside a sentence are exempt (WCAG 2.5.8).
function tooSmall({ least, apart }) {
  const shown = (element) => element.checkVisibility() && element.getBoundingClientRect().width > 1;
  const inSentence = (element) => element.matches("p > a:not(.door), td a, .words a") && getComputedStyle(element).display === "inline";
  const touch = [...document.querySelectorAll("a[href], button, input:not([type=hidden], [type=radio], [type=checkbox]), select, label.choice")];
  const boxes = touch.filter((element) => shown(element) && !element.matches(".skip") && !inSentence(element))
    .map((element) => ({ element, box: element.getBoundingClientRect(), bar: element.closest("nav, .result") }));
  const name = (element) => `${element.tagName} ${(element.textContent || element.name || "").trim().slice(0, 30)}`;
  const small = boxes.filter(({ box }) => box.height < least - 0.5 || box.width < least - 0.5)
    .map(({ element, box }) => `${name(element)}: ${Math.round(box.width)} x ${Math.round(box.height)}`);
  const near = [];
  for (const [at, one] of boxes.entries()) {
    for (const other of boxes.slice(at + 1)) {
      // A bar that stays in sight covers targets that scroll below it.
      if (one.bar !== other.bar) continue;
      const across = Math.max(other.box.left - one.box.right, one.box.left - other.box.right);
      const down = Math.max(other.box.top - one.box.bottom, one.box.top - other.box.bottom);
      if (Math.max(across, down) < apart - 0.5) near.push(`${name(one.element)} / ${name(other.element)}`);
    }
  }
  return { small, near };
}

export async function targets(page, where) {
  const { small, near } = await page.evaluate(tooSmall, { least: LEAST, apart: APART });
  none(small, `${where}: too small`);
  none(near, `${where}: too near`);
}

// The violations that axe-core finds. `targets` measures the size of targets, because axe takes one that a bar covers for small.
// A sheet of stickers has no headings, so the best practices do not apply to it.
export async function accessible(page, where, { stickers = false } = {}) {
  await page.evaluate(axe);
  const rules = stickers ? RULES.filter((rule) => rule !== "best-practice") : RULES;
  const { violations } = await page.evaluate((rules) => axe.run({ runOnly: rules, rules: { "target-size": { enabled: false } }, resultTypes: ["violations"] }), rules);
  const found = violations.map((violation) => `${violation.id} (${violation.nodes.map((node) => node.target.join(" ")).slice(0, 3).join(", ")})`);
  none(found, `${where}: axe`);
}
