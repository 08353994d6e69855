// A household of two children: every room must name the child of a meal and of a figure.
import { appendFileSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Window } from "./browser.mjs";
import { check, same } from "./checks.mjs";
import { addresses, look } from "./rooms.mjs";

const NAMES = ["Wren", "Lark"];
// The parts of a page about what one child ate, eats, or is to eat.
const OF_BOTH = ["/", "/week", "/week/held", "/week/held?what=planned", "/tastes"];

// A day, by days or months from today, as the program writes it.
function day(days, months = 0) {
  const day = new Date();
  day.setUTCDate(day.getUTCDate() + days);
  if (months) day.setUTCMonth(day.getUTCMonth() + months, 10);
  return day.toISOString().slice(0, 10);
}

// The book of the demo with a second child and a new record of the days before today.
export function household(program) {
  const parent = program.folder("two");
  program.say(parent, "demo", "--into", "book");
  const book = join(parent, "book");
  rmSync(join(book, "book.sqlite"));
  const settings = join(book, "book.toml");
  writeFileSync(settings, readFileSync(settings, "utf8").replace("2026-03-02", day(0, -8)));
  appendFileSync(settings, `\n[[child]]\nname   = "${NAMES[1]}"\nborn   = "${day(0, -6)}"\nweight = "7.1 kg"\nmilk   = "breast"\n`);
  for (const words of story()) program.say(book, ...words);
  return book;
}

function story() {
  const serve = (days, child, what, ...more) => ["serve", what, "--child", child, "--on", day(days), ...more];
  return [
    ["freeze", "red-lentil-squash", "--trays", "2", "--on", day(-12)],
    ["freeze", "egg-oat-apple", "--cubes", "20", "--on", day(-8)],
    ["milk", "breast", "6", "feeds", "--child", "Lark", "--from", day(-12)],
    serve(-6, "Wren", "2 red-lentil-squash", "--meal", "lunch"),
    serve(-6, "Lark", "1 red-lentil-squash", "--meal", "lunch", "--how", "refused"),
    serve(-3, "Wren", "2 egg-oat-apple", "--meal", "breakfast"),
    serve(-2, "Lark", "1 egg-oat-apple", "--meal", "breakfast", "--reaction", "red round the mouth"),
    serve(-1, "Wren", "2 red-lentil-squash", "--meal", "supper"),
    serve(-1, "Lark", "1 red-lentil-squash", "--meal", "supper"),
    ["plan", "set", day(0), "lunch", "2 red-lentil-squash", "--child", "Wren", "--on", day(0)],
    ["plan", "set", day(0), "lunch", "1 red-lentil-squash", "--child", "Lark", "--on", day(0)],
    ["plan", "set", day(1), "lunch", "2 egg-oat-apple", "--child", "Wren", "--on", day(0)],
    ["question", "How much milk beside three meals?", "--child", "Wren", "--on", day(-1)],
    ["question", "Egg once more?", "--child", "Lark", "--on", day(-1)],
  ];
}

export async function children(browser, served, shots) {
  const window = await Window.open(browser, served.address, "two", shots, { viewport: { width: 360, height: 740 } });
  const paths = [...await addresses(window), "/mix?cubes-1=2&child=Lark", "/visit?child=Lark"];
  for (const path of OF_BOTH) {
    await window.go(path);
    const words = await window.text("main");
    for (const name of NAMES) check(words.includes(name), `two ${path}: ${name} is not named`);
  }
  await seen(window);
  await window.go("/?child=");
  await servedTo(window);
  await mixed(window);
  await tickedOff(window);
  await asked(window);
  window.quiet("two", (words) => words.includes("422"));
  await window.close();
  for (const [width, height] of [[360, 740], [1280, 800]]) await look(browser, served, paths, `two ${width}`, shots, { viewport: { width, height } }, { names: true });
}

// Once a child is chosen, every room shows that child, until both are chosen again.
async function seen(window) {
  const { page } = window;
  const current = (name) => page.waitForSelector(`.whom a[aria-current]:has-text('${name}')`);
  await window.go("/");
  await current("Both");
  await page.click(".whom a:has-text('Lark')");
  await current("Lark");
  for (const path of OF_BOTH) {
    await window.go(path);
    await current("Lark");
    await page.locator(".last").evaluateAll((lasts) => lasts.forEach((last) => last.remove()));
    // Thawing is for the whole household.
    const words = (await window.text("main")).replace("Wren", "").replace(/for Wren's \w+/g, "");
    check(!words.includes("Wren"), `two ${path}: only Lark is seen`);
  }
  await window.go("/mix?cubes-1=1");
  await current("Lark");
  await page.locator("input[name^=cubes-]").last().fill("2");
  await page.waitForFunction(() => location.search.includes("=2"));
  await page.click(".whom a:has-text('Wren')");
  await current("Wren");
  check(page.url().includes("=2"), "two: the bowl stays as it is by now");
  await page.goBack();
  await current("Lark");
  await page.click("nav a:has-text('Today')");
  await current("Lark");
  await page.click(".whom a:has-text('Both')");
  await current("Both");
}

// A meal is recorded only once its child is chosen.
async function servedTo(window) {
  const { page } = window;
  await window.go("/freezer/1/serve");
  await page.click("main form button[value=taken]");
  await page.waitForSelector(".wrong");
  same(await page.locator("#child-fault").count(), 1, "two: a meal that is nobody's is not recorded");
  await window.sound("whose");
  await page.check("input[name=child][value=Lark]");
  await page.click("main form button[value=taken]");
  await window.notice("Lark");
  await window.takeBack();
}

async function mixed(window) {
  const { page } = window;
  await window.go("/mix?cubes-1=1&child=Lark");
  check((await window.text("h1")).includes("Lark"), "two: the bowl says whose it is");
  await page.click("#result button[value=taken]");
  await window.notice("Lark");
  await window.takeBack();
}

async function tickedOff(window) {
  const { page } = window;
  await window.go("/");
  const forms = page.locator("form.tick");
  same(await forms.count(), 2, "two: a meal of each child is planned");
  await page.locator("li:has(h3:has-text('Lark')) form.tick button[value=taken]").click();
  await window.notice("Lark");
  check((await window.text("li:has(h3:has-text('Lark'))")).includes("Eaten as planned"), "two: the meal of Lark is ticked off");
  same(await forms.count(), 1, "two: and that of Wren is not");
  await window.takeBack();
}

async function asked(window) {
  const { page } = window;
  await window.go("/visit?child=Wren");
  const others = await window.text("main section[aria-labelledby=questions]");
  check(/How much milk/.test(others) && !/Egg once more/.test(others), "two: the questions are those of Wren");
  await window.go("/visit?child=Lark");
  const words = await window.text("main section[aria-labelledby=questions]");
  check(!/How much milk/.test(words) && /Egg once more/.test(words), "two: the questions are those of Lark");
  await page.click("form[action='/visit/page'] button");
  await page.waitForSelector("h1:has-text('Lark')");
  check((await window.text("main")).includes("Egg once more?"), "two: the page of Lark has the questions of Lark");
}
