// Mix: a bowl is looked at, one cube more is added, and it is served.
import { check, same } from "../checks.mjs";

export async function mix(window) {
  const { page, label } = window;
  await window.go("/mix");
  await page.fill("input[name^=cubes-]", "1");
  await page.fill("#other", "20 g banana");
  await page.click("main form[method=get] button:not([type=button])");
  await page.waitForSelector("#bowl");
  const parts = page.locator(".bowl > ul:not(.list) > li");
  same(await parts.count(), 2, `${label}: parts of the bowl`);
  await window.sound("bowl");
  const iron = await window.text(".bowl table");
  const before = page.url();
  await page.click(".bowl .list a");
  await page.waitForURL((url) => url.href !== before);
  check((await window.text(".bowl table")) !== iron, `${label}: one cube more changes what the bowl holds`);
  await page.click("main form button[value=taken]");
  await window.notice("the bowl, eaten");
  await window.takeBack();
}
