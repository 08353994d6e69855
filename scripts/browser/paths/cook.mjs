// Cook: a recipe is written by its form, saved, changed, put back, frozen, and its card opened; with script, foods are found while they
// are typed, and figures follow a slider.
import { rmSync } from "node:fs";
import { join } from "node:path";
import { check, none } from "../checks.mjs";

export async function cook(window, { served }) {
  const title = `Squash of ${window.label}`;
  await begin(window, title);
  await addFood(window, "butternut squash", "11485", "600");
  await window.page.fill("#collected", "250");
  await window.page.fill("#returned", "200");
  await window.page.keyboard.press("Enter");
  await window.page.waitForSelector("#figures table");
  await window.sound("worked out");
  await (window.script ? slide(window) : workOut(window));
  await save(window, title);
  await change(window);
  await freeze(window);
  await card(window);
  rmSync(recipeFile(served, title));
}

export async function begin(window) {
  await window.go("/cook/write");
}

// Finds a food by kitchen words, while they are typed if there is script, and takes so many grams of it.
export async function addFood({ page, label, script }, words, food, grams) {
  const at = await page.locator("[id^=amount-]").count();
  if (script) await page.locator("#words").pressSequentially(words);
  else {
    await page.fill("#words", words);
    await page.click("button[name=find]");
  }
  await page.click(`button[name=take][value='${food}']`);
  await page.waitForSelector(`#amount-${at}`);
  check(await page.evaluate((id) => document.activeElement?.id === id, `amount-${at}`), `${label}: the new amount has the focus`);
  await page.fill(`#amount-${at}`, grams);
}

// Without script a button works the figures out.
async function workOut({ page, label }) {
  const before = await page.textContent("#figures .makes");
  await page.fill("#returned", "50");
  await page.click("main p button[name=work]");
  await page.waitForSelector("#figures table");
  check((await page.textContent("#figures .makes")) !== before, `${label}: a button works it out`);
}

// With script a slider moves the figures within a tenth of a second.
async function slide({ page, label }) {
  const before = await page.textContent("#figures .makes");
  const times = [];
  for (const to of [50, 100, 150, 60, 110, 160, 70, 120, 170, 80]) times.push(await page.evaluate(moved, to));
  times.sort((one, other) => one - other);
  console.log(`browser part paths, ${label}: from touch to figure ${times[5].toFixed(0)} ms (median of 10), ${times[9].toFixed(0)} ms at most`);
  check((await page.textContent("#figures .makes")) !== before, `${label}: a slider moves the figures`);
  check(await page.evaluate(() => document.activeElement.type === "range"), `${label}: the slider keeps the focus`);
  await page.waitForFunction(() => document.getElementById("said").textContent.includes("Energy density"));
}

// Moves the first slider, and says how long the figures take to follow.
function moved(to) {
  return new Promise((done) => {
    const range = document.querySelector("[data-slide] input[type=range]");
    range.focus();
    const begun = performance.now();
    new MutationObserver((_, seen) => { seen.disconnect(); done(performance.now() - begun); }).observe(document.getElementById("figures"), { childList: true });
    range.value = String(to);
    range.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

// The name of the file of a title.
const nameOf = (title) => title.toLowerCase().replace(/[^a-z0-9]+/g, "-");
export const recipeFile = (served, title) => join(served.folder, "recipes", `${nameOf(title)}.toml`);

export async function save(window, title) {
  await window.page.fill("#title", title);
  await window.page.click("button[name=save][value=yes]");
  await window.page.waitForSelector(".notice");
  check(window.path().startsWith(`/cook/recipe/${nameOf(title)}`), `${window.label}: the recipe is in the book`);
}

// The recipe is opened, said in a measure of the food, and put back as it was.
async function change(window) {
  const { page, label } = window;
  const before = await window.text("#figures");
  await page.click("a:has-text('Change the recipe')");
  await page.click("summary:has-text('600 g')");
  await page.fill("#amount-0", "7");
  await page.selectOption("#unit-0", "cup, cubes");
  await window.sound("change");
  await page.click("button[name=save][value=yes]");
  await window.notice("Changed");
  check((await window.text("#figures")) !== before, `${label}: another amount makes other figures`);
  await window.sound("changed");
  await page.click(".notice button:has-text('former')");
  await window.notice("as it was before");
  check((await window.text("#figures")) === before, `${label}: the former recipe makes its figures again`);
}

async function freeze(window) {
  const { page, label } = window;
  const recipe = window.path();
  await page.click("button[formaction$='/freeze']");
  await page.waitForSelector("#cubes");
  await window.sound("freeze");
  await page.click("main form button:not([type=button])");
  await window.notice("Froze");
  check((await window.text("main")).includes("Squash of"), `${label}: the batch lies in the freezer`);
  await window.takeBack();
  await window.go(recipe);
}

async function card(window) {
  const { page, label } = window;
  await page.fill("#trays", "2");
  await page.click("button[formaction$='/card']");
  await page.waitForSelector("h2:has-text('Weigh out')");
  const words = await window.text("main");
  check(words.includes("Squash of") && words.includes("32 cubes"), `${label}: the card is of this recipe and two trays`);
  none(window.console, `${label}: console at the card`);
}
