// Today: a planned meal is ticked off as it went.
import { check, same } from "../checks.mjs";

const DAY = "2026-11-16";

export async function today(window, { program, served }) {
  program.say(served.folder, "plan", "set", DAY, "lunch", "2 salmon-broccoli-millet", "--on", DAY);
  await window.go("/");
  const open = await window.page.locator("form.tick").count();
  same(open, 1, `${window.label}: planned meals of today`);
  await window.sound("planned");
  await unanswered(window);
  await window.page.click("form.tick summary:has-text('Something was seen')");
  await window.page.fill("form.tick input[name=seen]", "a dry patch on the cheek");
  await window.page.click("form.tick button[value='0.5']");
  await window.notice("as planned, half eaten");
  same(await window.page.locator("form.tick").count(), 0, `${window.label}: a meal is ticked off`);
  check((await window.text("ol.shelf")).includes("Some of it eaten"), `${window.label}: what became of the meal stands there`);
  await window.sound("ticked");
  await window.takeBack();
  same(await window.page.locator("form.tick").count(), 1, `${window.label}: the meal is open again`);
  // The plan is now the last entry, and this room can take it back too.
  await window.page.click(".last button");
  await window.notice("Took back");
  same(await window.page.locator("form.tick").count(), 0, `${window.label}: nothing is planned again`);
}

// A reaction that cannot be sent is answered at once, and again once the computer has it.
async function unanswered(window) {
  const { page, label } = window;
  if (!window.script) return;
  await page.route("**/*", (route) => (route.request().method() === "POST" ? route.abort() : route.continue()));
  await page.click("form.tick summary:has-text('Something was seen')");
  await page.fill("form.tick input[name=seen]", "lips swollen, wheezing");
  await page.click("form.tick button[value=taken]");
  await page.waitForSelector(".kept.grave:has-text('Call the emergency number')");
  await page.unrouteAll({ behavior: "wait" });
  await page.click(".kept a:has-text('Read what it says')");
  await page.waitForSelector(".notice.grave:has-text('Call the emergency number now')");
  check((await page.textContent(".notice")).includes("lips swollen"), `${label}: the reaction is on record with its words`);
  await window.takeBack();
  // The request that was cut off is no fault of the page.
  window.console.splice(0, Infinity, ...window.console.filter((words) => !words.includes("ERR_FAILED")));
}
