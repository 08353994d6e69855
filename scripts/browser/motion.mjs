// With reduced motion asked for, nothing moves when a page is opened or after a change.
import { Window } from "./browser.mjs";
import { check, same } from "./checks.mjs";

const moving = (page) => page.evaluate(() => document.getAnimations().length + [...document.querySelectorAll("*")]
  .filter((element) => getComputedStyle(element).scrollBehavior === "smooth").length);

export async function motion(browser, served, paths) {
  const window = await Window.open(browser, served.address, "still", undefined, { viewport: { width: 360, height: 740 }, reducedMotion: "reduce" });
  const { page } = window;
  for (const path of paths) {
    await window.go(path);
    same(await moving(page), 0, `still ${path}: things that move`);
  }
  await window.go("/freezer");
  await page.click("a[href$='/serve']");
  await page.click("[data-step] button");
  await page.click(".choice >> nth=1");
  same(await moving(page), 0, "still: things that move after a tap");
  await page.click("main form button[value=taken]");
  await page.waitForSelector(".notice");
  same(await moving(page), 0, "still: things that move after a meal");
  await window.takeBack();
  same(await moving(page), 0, "still: things that move after it is taken back");
  check(await page.evaluate(() => matchMedia("(prefers-reduced-motion: reduce)").matches), "still: less motion is asked for");
  await window.close();
}
