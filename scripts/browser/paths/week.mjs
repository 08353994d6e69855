// Week: a plan proposed, looked at and kept; what it holds and what to buy, ticked off; a meal emptied; the plan taken back.
import { Window } from "../browser.mjs";
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
  await tickedOff(window);
  await window.go("/week");
  await page.locator(".last button").click();
  await page.waitForSelector(".notice:has-text('Took back')");
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
  await anotherDish(window);
  await leftOut(window);
  await page.click(".result button");
  await window.notice("now the plan");
}

// The last meal for which another dish fits gets it; the others stay.
async function anotherDish(window) {
  const { page, label } = window;
  const meals = () => page.locator(".dish summary").allInnerTexts();
  const before = await meals();
  for (let at = before.length - 1; at >= 0; at -= 1) {
    await page.locator(".dish summary").nth(at).click();
    await page.locator(".dish").nth(at).locator("a:has-text('Another dish')").click();
    await page.waitForSelector("h1:has-text('Another dish')");
    if ((await page.locator("button[name=dish]").count()) === 0) {
      await page.click(".back a");
      continue;
    }
    await window.sound("another-dish");
    await page.locator("button[name=dish]").first().click();
    await window.notice("Nothing is recorded yet");
    const now = await meals();
    same(now.filter((words, other) => words !== before[other] && other !== at).length, 0, `${label}: the other meals stay`);
    return;
  }
  check(before.length > 0, `${label}: the proposal has meals`);
}

async function leftOut(window) {
  const { page, label } = window;
  await page.locator(".dish summary").first().click();
  const button = page.locator(".dish[open] button:has-text('Not this dish')").first();
  const dish = (await button.innerText()).split(": ")[1] ?? (await button.locator(".unseen").textContent()).slice(2);
  await button.click();
  await window.notice("worked out again");
  check(!(await page.locator(".dish summary").allInnerTexts()).some((words) => words.includes(dish)), `${label}: ${dish} is left out`);
  await page.click("button:has-text('It may come again')");
  await window.notice("may come again");
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

// What is ticked off stays so after a reload and on another device, where the tick can be taken away.
async function tickedOff(window) {
  const { page, label } = window;
  const ticked = (one) => one.page.locator(".to-buy .ticked").allInnerTexts();
  const bananas = (one) => one.page.locator(".to-buy li", { hasText: "Bananas" });
  await window.go("/week/shop");
  await bananas(window).locator(".tick-box").click();
  await page.waitForSelector(".to-buy .ticked:has-text('Bananas')");
  await window.sound("ticked off");
  await page.reload();
  same((await ticked(window)).length, 1, `${label}: a tick stays after a reload`);
  const options = { viewport: page.viewportSize(), javaScriptEnabled: window.script };
  const other = await Window.open(window.context.browser(), window.address, `${label} other device`, undefined, options);
  await other.go("/week/shop");
  same(String(await ticked(other)), String(await ticked(window)), `${label}: a tick is on another device too`);
  await bananas(other).locator(".tick-box").click();
  await other.page.waitForSelector(".to-buy:not(:has(.ticked))");
  other.quiet(other.label);
  await other.close();
  await page.reload();
  same((await ticked(window)).length, 0, `${label}: a tick that another device took away is gone`);
}
