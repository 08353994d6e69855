// Week: a plan proposed, looked at and kept; what it holds and what to buy; a meal emptied; the plan taken back.
import { check, same } from "../checks.mjs";

export async function week(window) {
  const { page, label } = window;
  const planned = () => page.locator(".cell:not(.empty)").count();
  await keepProposal(window);
  const meals = await planned();
  check(meals > 0, `${label}: the plan has meals`);
  await window.sound("week");
  for (const path of ["/week/held?what=planned", "/week/held", "/week/shop"]) {
    await window.go(path);
    await window.sound(path.replace(/\W+/g, "-"));
  }
  await window.go("/");
  check((await page.locator("form.tick").count()) > 0, `${label}: today has planned meals`);
  await emptyMeal(window);
  same(await planned(), meals - 1, `${label}: a meal is emptied`);
  await window.takeBack();
  same(await planned(), meals, `${label}: the meal is back`);
  await setMeal(window);
  await window.takeBack();
  await page.locator(".last button").click();
  await page.waitForSelector(".notice:has-text('Took back')");
  same(await planned(), 0, `${label}: the plan is taken back`);
}

async function keepProposal(window) {
  const { page } = window;
  await window.go("/week");
  await page.click("a[href^='/week/propose']");
  await window.sound("propose");
  await page.click("main form button:not([type=button])");
  await page.waitForSelector("h1:has-text('A proposal')");
  await window.sound("proposal");
  await page.click("main form button");
  await window.notice("is the plan");
}

// By keyboard.
async function emptyMeal(window) {
  const { page } = window;
  await window.go("/week");
  await page.focus(".cell:not(.empty)");
  await page.keyboard.press("Enter");
  await page.waitForSelector("button[value=empty]");
  await window.sound("meal");
  await page.click("button[value=empty]");
  await window.notice("nothing");
}

async function setMeal(window) {
  const { page, label } = window;
  await page.locator(".cell:not(.empty)").last().click();
  for (const input of await page.locator("input[name^='cubes-'], input[name^='recipe-']").all()) await input.fill("0");
  await page.locator("#other").fill("40 g banana");
  await page.click("button[value=set]");
  await page.waitForSelector(".notice");
  const told = await window.text("table.week");
  check(told.includes("40 g bananas"), `${label}: what is planned by hand stands in the plan`);
}
