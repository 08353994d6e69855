// Mix: a bowl is looked at, one cube more is added, and it is served.
import { check, same } from "../checks.mjs";

export async function mix(window) {
  const { page, label } = window;
  await window.go("/mix");
  await page.fill("input[name^=cubes-]", "1");
  await page.fill("#other", "20 g banana");
  // The figures follow the form; without script a button shows them.
  if (await page.locator("[data-plain]").isVisible()) await page.click("[data-plain] button");
  await page.waitForSelector(".bowl ul li:has-text('banana')");
  const parts = page.locator(".bowl > ul > li");
  same(await parts.count(), 2, `${label}: parts of the bowl`);
  await window.sound("bowl");
  const iron = await window.text("#result");
  const before = await page.locator("#result").textContent();
  check(/Iron.* mg \(.* to .*\), .* % of 11 mg/.test(iron), `${label}: the bar has the iron with its range and its share: ${iron}`);
  await page.click(".bowl button[name=more]");
  await page.waitForFunction((before) => document.querySelector("#result").textContent !== before, before);
  const now = await window.text("#result");
  check(now !== iron, `${label}: one cube more changes what the bowl holds`);
  // The address keeps the bowl, so that going back shows it again.
  await page.reload();
  await page.waitForSelector("#bowl");
  same(await window.text("#result"), now, `${label}: the bowl after a reload`);
  await page.click("#result button[value=taken]");
  await window.notice("the bowl, eaten");
  await window.takeBack();
}
