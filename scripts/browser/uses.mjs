// The three main uses, start to end; each figure on the page is that of the command line for the same input.
import { rmSync } from "node:fs";
import { Window } from "./browser.mjs";
import { check, same } from "./checks.mjs";
import { addFood, begin, recipeFile, save } from "./paths/cook.mjs";

const DAY = "2026-11-16";
const WEEK = ["2026-11-09", "2026-11-15"];
const TRAY = ["--tray", "16x30ml", "--fill", "0.9", "--age", "8"];
const number = (text) => Number.parseFloat(text.replace(/[^0-9.]/g, ""));
const rounded = (value, decimals) => Number(value.toFixed(decimals));

// The cells of a row of a table, its head first.
async function row(page, table, head) {
  const cells = page.locator(`table:has(caption:has-text("${table}")) tr:has(th:text-is("${head}"))`).locator("th, td");
  return cells.allTextContents();
}

// The iron of a serving of a new recipe of two foods.
async function ironOfNewRecipe(window, program, served) {
  const title = `Liver and apple of ${window.label}`;
  await begin(window, title);
  await addFood(window, "chicken liver raw", "05027", "150");
  await addFood(window, "apple raw without skin", "09004", "450");
  for (const at of [0, 1]) {
    await window.page.evaluate((at) => document.getElementById(`method-${at}`).closest("details").setAttribute("open", ""), at);
    await window.page.selectOption(`#method-${at}`, "steam");
  }
  await window.page.click("main p button[name=work]");
  await window.page.waitForSelector("#figures table");
  const [, cube, serving, share] = await row(window.page, "What is in it", "Iron");
  const batch = program.json(served.folder, "batch", "--add", "150 g 05027 steam", "--add", "450 g 09004 steam", ...TRAY, "--on", DAY);
  const iron = batch.nutrients.find((one) => one.id === "FE");
  // The page shows a figure with the digits that its range allows.
  const [ofCube, ofServing] = [cube, serving].map((cell) => cell.match(/\d+(\.\d+)?/)[0]);
  const places = (figure) => (figure.split(".")[1] ?? "").length;
  same(Number(ofCube), rounded(iron.per_cube, places(ofCube)), `${window.label}: iron of a cube`);
  same(Number(ofServing), rounded(iron.per_serving, places(ofServing)), `${window.label}: iron of a serving`);
  check(share.startsWith(iron.reference.percent.toPrecision(2)), `${window.label}: its share of a day: ${share}, ${iron.reference.percent}`);
  check(iron.per_serving > 0 && iron.complete, `${window.label}: there is iron in it`);
  await window.shoot("iron of a new recipe");
  await save(window, title);
  rmSync(recipeFile(served, title));
}

// A recipe that is scaled to fill whole trays.
async function fillsTrays(window, program, served) {
  for (const trays of [1, 2, 3]) {
    await window.go("/cook/recipe/red-lentil-squash");
    await window.page.fill("#trays", String(trays));
    await window.page.click("button:has-text('Work it out')");
    const expected = trays * 16;
    const batch = program.json(served.folder, "batch", "recipes/red-lentil-squash.toml", "--tray", "sixteen", "--trays", String(trays), "--on", DAY);
    const said = await window.text("#figures .makes");
    const words = await window.text("#figures");
    const where = `${window.label}: ${trays} trays`;
    same(number(said.split(" ")[0]), expected, `${where}: cubes`);
    same(batch.cubes.whole, expected, `${where}: cubes of the command line`);
    check(words.includes(`${trays} full tray`) && !words.includes("wells more"), `${where}: full trays alone`);
    // Amounts are rounded to what a scale shows; the few grams left over by rounding are shown, and make no cube.
    const left = words.match(/(\d+)\sg left over/)?.[1] ?? "0";
    same(Number(left), rounded(batch.cubes.leftover_g, 0), `${where}: grams left over`);
    check(batch.cubes.leftover_g < batch.cubes.cube_g / 4, `${where}: ${left} g are more than rounding makes`);
    same(number(said.match(/of ([0-9.]+)/)[1]), rounded(batch.cubes.cube_g, 1), `${where}: mass of a cube`);
    for (const [at, one] of batch.ingredients.entries()) {
      const bought = await window.page.locator("table:has(caption:text-is('Weigh out')) tbody tr").nth(at).locator("td").first().textContent();
      same(number(bought.split("g")[0]), rounded(one.purchased_g, 0), `${where}: ${one.name}`);
    }
  }
  await window.shoot("three trays");
}

// The weekly summary for the visit: a week chosen by its form, and the iron on the printed page.
async function weekForTheVisit(window, program, served) {
  const { page, label } = window;
  await window.go("/visit");
  await page.fill("#from", WEEK[0]);
  await page.fill("#to", WEEK[1]);
  await page.check("input[name=paper][value=letter]");
  await page.click("form[action='/visit/page'] button");
  await page.waitForSelector("caption:has-text('An average day')");
  const visit = JSON.parse(program.say(served.folder, "visit", "--from", WEEK[0], "--to", WEEK[1], "--format", "json"));
  const iron = visit.nutrients.find((one) => one.id === "FE");
  const [, milk, food, all, reference, share] = await row(page, "An average day", "Iron, mg");
  same(number(milk), rounded(iron.parts.milk, 2), `${label}: iron of milk`);
  same(number(food), rounded(iron.parts.food, 2), `${label}: iron of food`);
  same(number(all), rounded(iron.parts.total, 2), `${label}: iron in all`);
  const { amount, kind, ear } = iron.reference;
  same(reference.replace(/\s/g, " "), `${amount} ${kind}, EAR ${rounded(ear, 1)}`, `${label}: its reference`);
  check(number(share) === rounded(iron.reference.percent, 0), `${label}: its share: ${share}, ${iron.reference.percent}`);
  const week = program.json(served.folder, "week", "--from", WEEK[0], "--to", WEEK[1]);
  same(rounded(week.week.FE.parts.total, 9), rounded(iron.parts.total, 9), `${label}: the week and the visit say the same iron`);
  const days = await page.locator("table:has(caption:has-text('iron, mg')) tbody tr").allTextContents();
  same(days.length, visit.periods.length, `${label}: days with their iron`);
  for (const [at, period] of visit.periods.entries()) {
    const told = await page.locator("table:has(caption:has-text('iron, mg')) tbody tr").nth(at).locator("td").first().textContent();
    same(number(told), rounded(period.iron_mg.amount, 2), `${label}: iron of ${period.from}`);
  }
  await window.shoot("week for the visit");
}

const USES = { "iron of a new combination": ironOfNewRecipe, "a recipe that fills its trays": fillsTrays, "the week for the visit": weekForTheVisit };

export async function uses(browser, program, served, shots) {
  for (const [name, use] of Object.entries(USES)) {
    const window = await Window.open(browser, served.address, `use, ${name}`, shots, { viewport: { width: 360, height: 740 } });
    window.page.setDefaultTimeout(10_000);
    try {
      await use(window, program, served);
    } catch (error) {
      check(false, `${window.label}: stopped at ${window.path()}: ${error.message}`);
    }
    window.quiet(window.label);
    await window.close();
  }
}
