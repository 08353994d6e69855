// Start: in an empty folder a book is begun, with a child, a tray, a first recipe and a first batch in the freezer.
import { check, same } from "../checks.mjs";
import { addFood, begin, save } from "./cook.mjs";

export async function start(window) {
  const { page, label } = window;
  await window.go("/");
  await page.waitForSelector("#born");
  await page.click("form[action='/start'] button:not([type=button])");
  await page.waitForSelector(".wrong");
  check((await page.getAttribute("#child", "aria-describedby")) === "child-fault", `${label}: a missing name is said at its field`);
  await window.sound("nothing filled in");
  await page.fill("#child", "Robin");
  await page.fill("#born", born());
  await page.fill("#wells", "12");
  await page.fill("#well", "35");
  await page.click("form[action='/start'] button:not([type=button])");
  await window.notice("Started a book for Robin");
  check((await window.text("main")).includes("iron in a cube"), `${label}: the first recipe says what it makes`);
  await window.sound("started");
  await window.go("/freezer");
  check((await window.text("main")).includes("The freezer is empty"), `${label}: a new freezer is empty`);
  await firstBatch(window);
  window.quiet(label, (words) => words.includes("422"));
}

// Eight months ago, because the page uses the real day.
function born() {
  const day = new Date();
  day.setUTCDate(15);
  day.setUTCMonth(day.getUTCMonth() - 8);
  return day.toISOString().slice(0, 10);
}

async function firstBatch(window) {
  const { page, label } = window;
  await page.click("a.door[href='/cook/write']");
  await begin(window, "First carrots");
  await addFood(window, "carrots raw", "11124", "500");
  await page.click("main p button[name=work]");
  await page.waitForSelector("#figures table");
  await save(window, "First carrots");
  await page.click("button[formaction$='/freeze']");
  await page.fill("#cubes", "12");
  await page.click("main form button:not([type=button])");
  await window.notice("Froze 12 cubes of First carrots");
  await window.go("/freezer");
  same(await window.text(".lead"), "12 cubes in 1 batch.", `${label}: the freezer`);
  await window.sound("first batch");
}
