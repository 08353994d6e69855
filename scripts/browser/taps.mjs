// The most taps and page loads that common tasks may take on a phone, and whether the answer is in sight.
import { Window } from "./browser.mjs";
import { check } from "./checks.mjs";

const PHONE = { viewport: { width: 360, height: 740 } };
const DAY = "2026-11-16";

// A walk that counts taps and page loads; loads of parts of a page do not count.
class Walk {
  constructor(window) {
    Object.assign(this, { window, page: window.page, taps: 0, loads: 0 });
    this.page.on("load", () => { this.loads += 1; });
  }

  async begin(path) {
    await this.window.go(path);
    await this.page.waitForTimeout(50);
    Object.assign(this, { taps: 0, loads: 0 });
  }

  async tap(selector) {
    this.taps += 1;
    await this.page.locator(selector).first().click();
  }

  within(what, taps, loads) {
    const counts = `${this.window.label}: ${what}: ${this.taps} taps, ${this.loads} loads`;
    console.log(`browser part taps, ${what}: ${this.taps} taps, ${this.loads} loads`);
    check(this.taps <= taps && this.loads <= loads, `${counts}; at most ${taps} and ${loads}`);
  }

  // Checks that an element is on the screen without scrolling, above the bar.
  async inSight(selector, what) {
    const box = await this.page.locator(selector).first().boundingBox();
    const bar = await this.page.locator("nav").boundingBox();
    check(box !== null && box.y >= 0 && box.y + box.height <= bar.y + 1, `${this.window.label}: ${what} is not in sight: ${JSON.stringify(box)}`);
  }
}

async function plannedLunch(walk, { program, served }) {
  program.say(served.folder, "plan", "set", DAY, "lunch", "2 salmon-broccoli-millet", "--on", DAY);
  await walk.begin("/");
  await walk.inSight("form.tick button[value=taken]", "the button of the planned lunch");
  await walk.tap("form.tick button[value=taken]");
  await walk.window.notice("as planned, eaten");
  walk.within("a planned lunch, all eaten", 1, 1);
  await walk.window.takeBack();
  await walk.page.click(".last button");
  await walk.window.notice("Took back");
}

async function twoCubes(walk) {
  await walk.begin("/");
  await walk.tap("summary:has-text('Salmon')");
  await walk.tap("details[open].dish button[value=taken]");
  await walk.window.notice("2 cubes of Salmon");
  walk.within("two cubes that were not planned", 2, 1);
  check((await walk.window.text(".notice")).includes("lunch"), "taps: the meal is that of the clock");
  await walk.window.takeBack();
}

// Half eaten; a rash an hour later.
async function rashLater(walk) {
  await walk.begin("/");
  await walk.tap("summary:has-text('Salmon')");
  await walk.tap("details[open].dish button[value='0.5']");
  await walk.window.notice("half eaten");
  await walk.tap(".notice a:has-text('Something was seen')");
  await walk.page.fill("#seen", "a rash round the mouth");
  await walk.tap("section[aria-labelledby=later] button");
  await walk.window.notice("Written down");
  walk.within("half eaten, and a rash later", 4, 3);
  for (const undone of ["a rash", "Salmon"]) {
    await walk.window.go("/");
    check((await walk.window.text(".last")).includes(undone), `taps: the last entry is of ${undone}`);
    await walk.page.click(".last button");
    await walk.window.notice("Took back");
  }
}

async function newCombination(walk, { served, rmSync, join }) {
  await walk.begin("/");
  await walk.tap("nav a:has-text('Cook')");
  await walk.tap("#words");
  await walk.page.keyboard.type("600 g courgette roasted, 150 g red lentils");
  await walk.tap("button[name=find]");
  await walk.page.waitForSelector("#result strong");
  await walk.inSight("#result p:has-text('Iron')", "the iron of a new combination");
  await walk.inSight("button[name=save][value=yes]", "Save");
  await walk.tap("button[name=save][value=yes]");
  await walk.window.notice("Wrote");
  walk.within("a new combination, answered and saved", 8, 3);
  rmSync(join(served.folder, "recipes", "courgette-and-red-lentil.toml"));
}

async function twoTrays(walk) {
  await walk.begin("/cook");
  await walk.tap("#recipes a:has-text('Red lentil and squash')");
  await walk.tap("button[aria-label='One more: How many trays to fill']");
  await walk.tap("button[aria-label='One more: How many trays to fill']");
  await walk.page.waitForSelector("#result p:has-text('32 cubes')");
  await walk.inSight("#result p:has-text('Weigh out')", "what to weigh out for two trays");
  walk.within("two full trays, weighed out", 3, 1);
  await walk.tap("button[formaction$='/freeze']");
  await walk.page.waitForSelector("#cubes");
  await walk.page.goBack();
  await walk.page.waitForSelector("#result p:has-text('32 cubes')");
}

async function correctSupper(walk) {
  await walk.begin("/week?from=2026-11-09");
  walk.taps = 1;
  walk.loads = 1;
  await walk.tap("a.cell:has-text('supper of Tue 10 Nov')");
  await walk.page.waitForSelector("#how");
  await walk.tap("main form button[value='0.5']");
  await walk.window.notice("Corrected");
  walk.within("Tuesday's supper corrected", 4, 3);
  await walk.window.takeBack();
}

async function weekForTheVisit(walk) {
  await walk.begin("/");
  await walk.tap("nav a:has-text('Week')");
  await walk.tap("a:has-text('Page for the visit')");
  await walk.page.waitForSelector("[data-print]:visible");
  walk.taps += 1;
  walk.within("a week for the visit, printed", 4, 2);
}

// From Today: a second child with its first weight.
async function secondChild(walk, { served, readFileSync, writeFileSync, join }) {
  const book = join(served.folder, "book.toml");
  const before = readFileSync(book, "utf8");
  await walk.begin("/");
  await walk.tap("main a[href='/household#add']");
  await walk.tap("#name");
  await walk.page.keyboard.type("Lark");
  await walk.page.fill("#born", "2026-05-20");
  await walk.tap("#weight");
  await walk.page.keyboard.type("6.9");
  await walk.tap("main form:has(#name) button");
  await walk.window.notice("Added Lark");
  walk.taps += 1;
  walk.within("a second child with its weight", 6, 2);
  await switched(walk);
  writeFileSync(book, before);
}

// One child, then both, in one tap each; Back shows what was seen before.
async function switched(walk) {
  const { page } = walk;
  await walk.begin("/?child=");
  await walk.inSight(".whom a:has-text('Lark')", "the switch");
  await walk.tap(".whom a:has-text('Lark')");
  await page.waitForSelector(".whom a[aria-current]:has-text('Lark')");
  walk.within("another child is seen", 1, 1);
  await walk.tap("nav a:has-text('Week')");
  await page.waitForSelector(".whom a[aria-current]:has-text('Lark')");
  check(!(await walk.window.text("main")).includes("Week of Wren"), "taps: the week is that of Lark alone");
  await page.goBack();
  await page.goBack();
  await page.waitForSelector(".whom a[aria-current]:has-text('Both')");
}

// A bowl of two dishes: its iron is in sight as it changes.
async function bowl(walk) {
  await walk.begin("/mix");
  const more = "button[aria-label^='One more: Salmon']";
  await walk.page.locator(more).scrollIntoViewIfNeeded();
  await walk.tap(more);
  await walk.page.waitForSelector("#result p:has-text('Iron')");
  await walk.inSight("#result p:has-text('Iron')", "the iron of a bowl");
  const one = await walk.page.locator("#result").textContent();
  await walk.tap(more);
  await walk.page.waitForFunction((one) => document.querySelector("#result").textContent !== one, one);
  await walk.tap("#result button[value=taken]");
  await walk.window.notice("the bowl, eaten");
  walk.within("a bowl put together and served", 3, 1);
  await walk.window.takeBack();
}

const TASKS = { plannedLunch, twoCubes, rashLater, newCombination, twoTrays, correctSupper, weekForTheVisit, bowl, secondChild };

export async function taps(browser, around, shots) {
  for (const [name, task] of Object.entries(TASKS)) {
    const window = await Window.open(browser, around.served.address, `taps ${name}`, shots, PHONE);
    window.page.setDefaultTimeout(10_000);
    try {
      await task(new Walk(window), around);
      await window.shoot("end");
    } catch (error) {
      check(false, `${window.label}: stopped at ${window.path()}: ${error.message}`);
      await window.shoot("stopped");
    }
    window.quiet(window.label);
    await window.close();
  }
}
