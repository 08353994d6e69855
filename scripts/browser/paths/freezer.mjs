// Freezer: a meal by keyboard alone and its undoing, cubes thrown away, and a form with mistakes.
import { check } from "../checks.mjs";

const inFocus = (page, selector) => page.evaluate((selector) => document.activeElement.matches(selector), selector);

export async function freezer(window) {
  const { page, label, script } = window;
  await window.go("/freezer");
  const before = await window.text(".lead");
  await serve(window, before);
  if (script) check(await inFocus(page, ".notice"), `${label}: the notice has the focus`);
  await window.sound("served");
  await window.takeBack();
  check((await window.text(".lead")) === before, `${label}: taking it back puts the cubes back`);
  await discard(window, before);
  await mistakes(window);
  window.quiet(label, (words) => words.includes("422"));
}

async function serve({ page, label }, before) {
  await page.focus("a[href$='/serve']");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#cubes");
  await page.fill("#cubes", "1");
  await page.focus("main form button[value=taken]");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".notice");
  const served = await page.textContent(".lead");
  check(served !== before, `${label}: a meal changes the freezer (${before} / ${served})`);
}

async function discard(window, before) {
  const { page, label } = window;
  await page.click("a[href$='/discard']");
  await page.fill("#cubes", "1");
  await page.fill("#why", "frost on the bag");
  await window.sound("discard");
  await page.click("main form button:not([type=button])");
  await page.waitForSelector(".notice");
  check((await window.text(".lead")) !== before, `${label}: what is thrown away is gone`);
  await window.takeBack();
  check((await window.text(".lead")) === before, `${label}: what was thrown away is back`);
}

async function mistakes(window) {
  const { page, label, script } = window;
  await page.click("a[href$='/serve']");
  await page.fill("#cubes", "9999");
  await page.fill("#on", "");
  await page.click("main form button[value=taken]");
  await page.waitForSelector(".wrong");
  check(page.url().endsWith("/serve"), `${label}: a wrong form stays where it is`);
  check((await page.getAttribute("#on", "aria-describedby")) === "on-fault", `${label}: a fault is tied to its field`);
  if (script) check(await inFocus(page, ".wrong"), `${label}: the summary has the focus`);
  await window.sound("wrong");
}
