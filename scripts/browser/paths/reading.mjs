// The rooms that are read more than written in: tastes, money, the visit, foods.
import { check, same } from "../checks.mjs";

// A first taste served shows up among the known foods; what the doctor cleared is no longer asked about.
export async function tastes(window, { program, served }) {
  const { page, label } = window;
  await window.go("/tastes");
  check(!(await window.text("main")).includes("Blueberries"), `${label}: a food that was never tasted is not known`);
  program.say(served.folder, "serve", "20 g 09050", "--on", "2026-11-16");
  await window.go("/tastes");
  check((await page.locator("th", { hasText: "Blueberries" }).count()) === 1, `${label}: a first taste is known`);
  await window.sound("tasted");
  await page.click(".last button");
  await window.notice("Took back");
  check((await page.locator("th", { hasText: "Blueberries" }).count()) === 0, `${label}: and is not, when taken back`);
  await page.click("text=The doctor cleared it");
  await window.notice("the doctor cleared");
  check((await page.locator("button", { hasText: "The doctor cleared it" }).count()) === 0, `${label}: a cleared food is not listed`);
  await page.click(".last button");
  await window.notice("Took back");
}

export async function money(window) {
  const { page, label } = window;
  await window.go("/money");
  await page.fill("#words", "squash");
  await page.click("form[role=search] button");
  await page.check("input[name=food][value='11485']");
  await page.fill("#mass", "900");
  await page.selectOption("#unit", "g");
  await page.fill("#price", "three");
  await page.fill("#store", "market");
  await window.sound("purchase");
  await page.click("form[method=post][action='/money'] button:not([type=button])");
  await page.waitForSelector(".wrong");
  await window.sound("wrong price");
  await page.fill("#price", "3.20");
  await page.click("form[method=post][action='/money'] button:not([type=button])");
  await page.waitForSelector(".notice");
  check((await window.text(".notice")).includes("3.20"), `${label}: the purchase is recorded`);
  await window.takeBack();
  window.quiet(label, (words) => words.includes("422"));
}

// A question, and the page to print.
export async function visit(window) {
  const { page, label } = window;
  await window.go("/visit");
  await page.fill("#question", `Is the iron of ${label} enough?`);
  await page.click("form[action='/visit'] button:not([type=button])");
  await window.notice("Written down");
  check((await window.text("#questions ~ ul")).includes(label), `${label}: the question is in the list`);
  await page.fill("#from", "2026-10-19");
  await page.fill("#to", "2026-11-16");
  await page.click("form[action='/visit/page'] button");
  await page.waitForSelector("h1:has-text('Wren')");
  check((await window.text("main")).includes(label), `${label}: the question is on the page to print`);
  await window.sound("sheet");
  await window.go("/visit");
  await page.click(".last button");
  await window.notice("Took back");
  check(!(await window.text("main section[aria-labelledby=questions] ul")).includes(label), `${label}: the question is taken back`);
}

export async function foods(window) {
  const { page, label } = window;
  await window.go("/foods");
  if (window.script) {
    await page.locator("#words").pressSequentially("sweet potato");
    await page.waitForSelector(".list a:has-text('Sweet potato, raw')");
  } else {
    await page.fill("#words", "sweet potato");
    await page.click("form[role=search] button");
  }
  await window.sound("found");
  await page.click(".list a:has-text('Sweet potato, raw')");
  same(await window.text("h1"), "Sweet potato, raw, unprepared", `${label}: a food is opened`);
  await window.sound("food");
}
