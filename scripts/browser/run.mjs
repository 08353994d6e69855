// Walks through every room of the kitchen page in Chromium: three sizes, with and without JavaScript, light and dark.
// Fails on what axe-core finds, on a word in the console, on a request that leaves the page, on a page wider than the
// screen, and on targets smaller than 48 px or nearer than 8 px.
//
// Usage: node run.mjs ADDRESS FOLDER-FOR-SCREENSHOTS   (the page must show a household with a record, such as the demo)
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { chromium } from "playwright-core";

const [address, shots] = process.argv.slice(2);
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const SIZES = [[360, 740], [768, 1024], [1280, 800]];
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const LEAST = 48;
const APART = 8;
let passed = 0;
const failures = [];

function check(good, what) {
  if (good) passed += 1;
  else failures.push(what);
}

// Every address that a room links to, beginning with the first room.
async function addresses(page) {
  const found = new Set();
  const waiting = ["/"];
  const patterns = new Set();
  while (waiting.length > 0) {
    const path = waiting.shift();
    await page.goto(new URL(path, address).href);
    for (const href of await page.$$eval("a[href^='/']", (links) => links.map((link) => link.getAttribute("href")))) {
      const pattern = href.replace(/\d+/g, "N").replace(/recipe\/[a-z-]+/, "recipe/R");
      if (patterns.has(pattern)) continue;
      patterns.add(pattern);
      found.add(href);
      waiting.push(href);
    }
  }
  return [...found, "/mix?cubes-48=2&cubes-63=1", "/foods?words=sweet+potato", "/money?words=squash", "/cook/recipe/red-lentil-squash/freeze?trays=2", "/foods/11485", "/no-such-page"];
}

// What can be touched and is too small, or too near to another: links inside a sentence are exempt (WCAG 2.5.8).
function tooSmall({ least, apart }) {
  const shown = (element) => element.checkVisibility() && element.getBoundingClientRect().width > 1;
  const inSentence = (element) => element.matches("p > a:not(.door), td a") && getComputedStyle(element).display === "inline";
  const touch = [...document.querySelectorAll("a[href], button, input:not([type=hidden], [type=radio], [type=checkbox]), select, label.choice")];
  const boxes = touch.filter((element) => shown(element) && !element.matches(".skip") && !inSentence(element))
    .map((element) => ({ element, box: element.getBoundingClientRect(), fixed: getComputedStyle(element).position === "fixed" }));
  const name = (element) => `${element.tagName} ${(element.textContent || element.name || "").trim().slice(0, 30)}`;
  const small = boxes.filter(({ box }) => box.height < least - 0.5 || box.width < least - 0.5)
    .map(({ element, box }) => `${name(element)}: ${Math.round(box.width)} x ${Math.round(box.height)}`);
  const near = [];
  for (const [at, one] of boxes.entries()) {
    for (const other of boxes.slice(at + 1)) {
      if (one.fixed || other.fixed) continue;
      const across = Math.max(other.box.left - one.box.right, one.box.left - other.box.right);
      const down = Math.max(other.box.top - one.box.bottom, one.box.top - other.box.bottom);
      if (Math.max(across, down) < apart - 0.5) near.push(`${name(one.element)} / ${name(other.element)}`);
    }
  }
  return { small, near };
}

async function opened(browser, options) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const seen = { console: [], foreign: [] };
  page.on("console", (message) => seen.console.push(message.text()));
  page.on("pageerror", (error) => seen.console.push(String(error)));
  page.on("request", (request) => {
    const url = new URL(request.url());
    if (url.origin !== new URL(address).origin) seen.foreign.push(request.url());
  });
  return { context, page, seen };
}

async function look(browser, paths, options, label) {
  const { context, page, seen } = await opened(browser, options);
  for (const path of paths) {
    const where = `${label} ${path}`;
    const answer = await page.goto(new URL(path, address).href);
    const missing = path === "/no-such-page";
    check(answer.status() === (missing ? 404 : 200), `${where}: status ${answer.status()}`);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    // A sheet of stickers is drawn in millimetres, and has no headings.
    const stickers = path.startsWith("/freezer/labels");
    check(wide <= 0 || stickers, `${where}: ${wide} px wider than the screen`);
    const { small, near } = await page.evaluate(tooSmall, { least: LEAST, apart: APART });
    check(small.length === 0, `${where}: too small: ${small.join("; ")}`);
    check(near.length === 0, `${where}: too near: ${near.join("; ")}`);
    if (options.javaScriptEnabled !== false) {
      await page.evaluate(axe);
      const rules = stickers ? RULES.filter((rule) => rule !== "best-practice") : RULES;
      const { violations } = await page.evaluate((rules) => axe.run({ runOnly: rules }), rules);
      const told = violations.map((one) => `${one.id} (${one.nodes.map((node) => node.target.join(" ")).slice(0, 3).join(", ")})`);
      check(told.length === 0, `${where}: axe: ${told.join("; ")}`);
    }
    const file = `${label} ${path}`.replace(/[^a-z0-9]+/gi, "-");
    await page.screenshot({ path: join(shots, `${file}.png`), fullPage: true });
    const expected = missing ? seen.console.filter((words) => !words.includes("404")) : seen.console;
    check(expected.length === 0, `${where}: console: ${expected.join("; ")}`);
    check(seen.foreign.length === 0, `${where}: left the page: ${seen.foreign.join("; ")}`);
    seen.console.length = 0;
  }
  await context.close();
}

// A meal by keyboard alone, and its undoing; then a form with mistakes.
async function work(browser, javaScriptEnabled) {
  const label = javaScriptEnabled ? "work" : "work without script";
  const { context, page, seen } = await opened(browser, { viewport: { width: 360, height: 740 }, javaScriptEnabled });
  await page.goto(new URL("/freezer", address).href);
  const before = await page.textContent(".lead");
  await page.focus("a[href$='/serve']");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#cubes");
  await page.fill("#cubes", "1");
  await page.focus("#cubes");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".notice");
  const served = await page.textContent(".lead");
  check(served !== before, `${label}: a meal changes the freezer (${before} / ${served})`);
  if (javaScriptEnabled) {
    check(await page.evaluate(() => document.activeElement.matches(".notice")), `${label}: the notice has the focus`);
  }
  await page.screenshot({ path: join(shots, `${label.replaceAll(" ", "-")}-notice.png`), fullPage: true });
  await page.click(".notice button");
  await page.waitForFunction?.(() => true).catch(() => {});
  await page.waitForSelector(".notice:has-text('Took back')");
  check((await page.textContent(".lead")) === before, `${label}: taking it back puts the cubes back`);
  await page.click("a[href$='/serve']");
  await page.fill("#cubes", "9999");
  await page.fill("#on", "");
  await page.click("main form button:not([type=button])");
  await page.waitForSelector(".wrong");
  check(page.url().endsWith("/serve"), `${label}: a wrong form stays where it is`);
  check((await page.getAttribute("#on", "aria-describedby")) === "on-fault", `${label}: a fault is tied to its field`);
  await page.screenshot({ path: join(shots, `${label.replaceAll(" ", "-")}-wrong.png`), fullPage: true });
  if (javaScriptEnabled) {
    check(await page.evaluate(() => document.activeElement.matches(".wrong")), `${label}: the summary has the focus`);
    await page.evaluate(axe);
    const { violations } = await page.evaluate((rules) => axe.run({ runOnly: rules }), RULES);
    check(violations.length === 0, `${label}: axe on a wrong form: ${violations.map((one) => one.id).join(", ")}`);
  }
  const words = seen.console.filter((one) => !one.includes("422"));
  check(words.length === 0 && seen.foreign.length === 0, `${label}: console ${words.join("; ")}, left ${seen.foreign.join("; ")}`);
  await context.close();
}

// A recipe is written by its form; with script, a slider moves the figures within a tenth of a second.
async function cook(browser, javaScriptEnabled) {
  const label = javaScriptEnabled ? "cook" : "cook without script";
  const { context, page, seen } = await opened(browser, { viewport: { width: 360, height: 740 }, javaScriptEnabled });
  const shot = (name) => page.screenshot({ path: join(shots, `${label}-${name}.png`.replaceAll(" ", "-")), fullPage: true });
  await page.goto(new URL("/cook/write", address).href);
  await page.fill("#title", "Squash");
  await page.fill("#words", "butternut squash");
  await page.click("button[name=find]");
  await page.waitForSelector(".found");
  await shot("found");
  await page.click("button[name=take][value='11485']");
  await page.waitForSelector("#amount-0");
  check(await page.evaluate(() => document.activeElement?.id === "amount-0").catch(() => true), `${label}: the new amount has the focus`);
  await page.fill("#amount-0", "600");
  await page.fill("#collected", "250");
  await page.fill("#returned", "200");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#figures dl");
  const before = await page.textContent("#figures dl");
  await shot("worked-out");
  const { small, near } = await page.evaluate(tooSmall, { least: LEAST, apart: APART });
  check(small.length === 0 && near.length === 0, `${label}: ${small.join("; ")} ${near.join("; ")}`);
  if (javaScriptEnabled) {
    await page.evaluate(axe);
    const { violations } = await page.evaluate((rules) => axe.run({ runOnly: rules }), RULES);
    check(violations.length === 0, `${label}: axe: ${violations.map((one) => `${one.id} ${one.nodes.map((node) => node.target.join(" ")).join(", ")}`).join("; ")}`);
    const times = [];
    for (const to of [50, 100, 150, 60, 110, 160, 70, 120, 170, 80]) {
      times.push(await page.evaluate((to) => new Promise((done) => {
        const range = document.querySelector("[data-slide] input[type=range]");
        range.focus();
        const begun = performance.now();
        new MutationObserver((_, seen) => { seen.disconnect(); done(performance.now() - begun); }).observe(document.getElementById("figures"), { childList: true });
        range.value = String(to);
        range.dispatchEvent(new Event("input", { bubbles: true }));
      }), to));
    }
    times.sort((one, other) => one - other);
    console.log(`browser: from touch to figure ${times[5].toFixed(0)} ms (median of 10), ${times[9].toFixed(0)} ms at most`);
    check((await page.textContent("#figures dl")) !== before, `${label}: a slider moves the figures`);
    check(await page.evaluate(() => document.activeElement.type === "range"), `${label}: the slider keeps the focus`);
    await page.waitForFunction(() => document.getElementById("said").textContent.includes("Energy density"));
  } else {
    await page.fill("#returned", "50");
    await page.click("main p button[name=work]");
    await page.waitForSelector("#figures dl");
    check((await page.textContent("#figures dl")) !== before, `${label}: a button works it out`);
  }
  await page.fill("#title", label);
  await page.click("button[name=save]");
  await page.waitForSelector(".notice");
  check(page.url().includes("/cook/recipe/cook"), `${label}: the recipe is in the book`);
  await page.click("button[formaction$='/freeze']");
  await page.waitForSelector("#cubes");
  await page.click("main form button:not([type=button])");
  await page.waitForSelector(".notice");
  check((await page.textContent(".notice")).includes("Froze"), `${label}: the batch is frozen`);
    check(seen.console.length === 0 && seen.foreign.length === 0, `${label}: console ${seen.console.join("; ")}, left ${seen.foreign.join("; ")}`);
  await context.close();
}

// A plan proposed, looked at and kept; its first meal ticked off; a meal set and emptied; a bowl mixed and served.
async function plan(browser, javaScriptEnabled) {
  const label = javaScriptEnabled ? "plan" : "plan without script";
  const { context, page, seen } = await opened(browser, { viewport: { width: 360, height: 740 }, javaScriptEnabled });
  const go = (path) => page.goto(new URL(path, address).href);
  const shoot = (what) => page.screenshot({ path: join(shots, `${label.replaceAll(" ", "-")}-${what}.png`), fullPage: true });
  const sound = async (what) => {
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    check(wide <= 0, `${label}: ${what}: ${wide} px wider than the screen`);
    const { small, near } = await page.evaluate(tooSmall, { least: LEAST, apart: APART });
    check(small.length === 0 && near.length === 0, `${label}: ${what}: too small ${small.join("; ")}, too near ${near.join("; ")}`);
    await shoot(what);
    if (!javaScriptEnabled) return;
    await page.evaluate(axe);
    const { violations } = await page.evaluate((rules) => axe.run({ runOnly: rules }), RULES);
    check(violations.length === 0, `${label}: axe on ${what}: ${violations.map((one) => one.id).join(", ")}`);
  };
  await go("/week/propose");
  await page.click("main form button:not([type=button])");
  await page.waitForSelector("h1:has-text('A proposal')");
  await sound("proposal");
  await page.click("main form button");
  await page.waitForSelector(".notice:has-text('is the plan')");
  const planned = await page.locator(".cell:not(.empty)").count();
  check(planned > 0, `${label}: the plan has meals`);
  await sound("week");
  for (const path of ["/week/held?what=planned", "/week/held", "/week/shop"]) {
    await go(path);
    await sound(path.replace(/\W+/g, "-"));
  }
  await go("/");
  await sound("today");
  const open = await page.locator("form.tick").count();
  await page.click("form.tick button");
  await page.waitForSelector(".notice:has-text('as planned, eaten')");
  check((await page.locator("form.tick").count()) === open - 1, `${label}: a meal is ticked off`);
  await page.click(".notice button");
  await page.waitForSelector(".notice:has-text('Took back')");
  await go("/week");
  await page.focus(".cell:not(.empty)");
  await page.keyboard.press("Enter");
  await page.waitForSelector("button[value=empty]");
  await sound("meal");
  await page.click("button[value=empty]");
  await page.waitForSelector(".notice:has-text('nothing')");
  check((await page.locator(".cell:not(.empty)").count()) === planned - 1, `${label}: a meal is emptied`);
  await page.click(".notice button");
  await page.waitForSelector(".notice:has-text('Took back')");
  await page.locator(".last button").click();
  await page.waitForSelector(".cell.empty");
  check((await page.locator(".cell:not(.empty)").count()) === 0, `${label}: the plan is taken back`);
  await go("/mix");
  await page.fill("input[name^=cubes-]", "1");
  await page.click("main form[method=get] button:not([type=button])");
  await page.waitForSelector("#bowl");
  await sound("bowl");
  await page.click("main form[method=post] button");
  await page.waitForSelector(".notice:has-text('the bowl, eaten')");
  await page.click(".notice button");
  await page.waitForSelector(".notice:has-text('Took back')");
  check(seen.console.length === 0 && seen.foreign.length === 0, `${label}: console ${seen.console.join("; ")}, left ${seen.foreign.join("; ")}`);
  await context.close();
}

// Every stop of the keyboard shows where it is, and is not hidden.
async function keyboard(browser) {
  const { context, page } = await opened(browser, { viewport: { width: 360, height: 740 } });
  for (const path of ["/", "/freezer", "/cook/recipe/red-lentil-squash", "/mix?cubes-48=2", "/week", "/week/propose", "/visit", "/foods", "/tastes"]) {
    await page.goto(new URL(path, address).href);
    for (let stop = 0; stop < 60; stop += 1) {
      await page.keyboard.press("Tab");
      const told = await page.evaluate(() => {
        const element = document.activeElement;
        if (element === document.body) return null;
        const around = element.closest("label.choice") ?? element;
        const { outlineStyle, outlineWidth } = getComputedStyle(around);
        const box = element.getBoundingClientRect();
        const across = (Math.max(box.left, 0) + Math.min(box.right, innerWidth)) / 2;
        const on = document.elementFromPoint(across, (Math.max(box.top, 0) + Math.min(box.bottom, innerHeight)) / 2);
        return { seen: outlineStyle !== "none" && Number.parseFloat(outlineWidth) >= 3, covered: !(element.contains(on) || on?.contains(element)),
          name: `${element.tagName} ${element.textContent.trim().slice(0, 30)}` };
      });
      if (told === null) break;
      check(told.seen, `keyboard ${path}: no focus to be seen at ${told.name}`);
      check(!told.covered, `keyboard ${path}: covered: ${told.name}`);
    }
  }
  await context.close();
}

mkdirSync(shots, { recursive: true });
const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
try {
  const { context, page } = await opened(browser, {});
  const paths = await addresses(page);
  await context.close();
  for (const [width, height] of SIZES) {
    const viewport = { width, height };
    await look(browser, paths, { viewport }, `${width}`);
    await look(browser, paths, { viewport, javaScriptEnabled: false }, `${width}-plain`);
  }
  await look(browser, paths, { viewport: { width: 360, height: 740 }, colorScheme: "dark", reducedMotion: "reduce" }, "dark");
  await look(browser, paths, { viewport: { width: 360, height: 740 }, forcedColors: "active" }, "forced");
  // 320 px is a page of 1280 px at 400 %.
  await look(browser, paths, { viewport: { width: 320, height: 256 } }, "320");
  await work(browser, true);
  await work(browser, false);
  await cook(browser, true);
  await cook(browser, false);
  await plan(browser, true);
  await plan(browser, false);
  await keyboard(browser);
} finally {
  await browser.close();
}
for (const failure of failures) console.error(failure);
console.log(`browser: ${passed} passed, ${failures.length} failed`);
process.exitCode = failures.length > 0 ? 1 : 0;
