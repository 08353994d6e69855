// Pages to print: the expected number of sheets, and nothing cut off.
import { execFileSync } from "node:child_process";
import { readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Window } from "./browser.mjs";
import { check, none, same } from "./checks.mjs";

// Millimetres: width, and the margins left and right that each page sets for itself.
const WIDTH = { a4: 210, letter: 215.9 };
const MARGIN = { visit: 13, card: 12, labels: 0 };
const PIXELS = 96 / 25.4;

// Each page of a PDF is an object of its own; Chromium does not pack them.
export function pages(pdf) {
  return pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
}

// The words of a PDF, where there is a program to read them; else nothing.
function wordsOf(file) {
  try {
    return execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
  } catch (error) {
    if (error.code === "ENOENT") return null;
    throw error;
  }
}

// Elements that reach beyond the paper, or are not drawn.
function cut() {
  const width = document.documentElement.clientWidth;
  const all = [...document.querySelectorAll("body *")].filter((element) => !element.closest("svg") && element.tagName !== "BR");
  const box = (element) => element.getBoundingClientRect();
  const words = (element) => `${element.tagName} ${element.textContent.trim().slice(0, 40)}`;
  const out = all.filter((element) => box(element).left < -1 || box(element).right > width + 1).map(words);
  const unseen = [...document.querySelectorAll("tr, li, p, svg")].filter((element) => !element.closest("defs") && !element.matches(".chart.screen") && (box(element).height < 1 || !element.checkVisibility())).map(words);
  // A drawing clips its content.
  const drawn = [...document.querySelectorAll("svg text")].filter((text) => {
    const around = box(text.ownerSVGElement);
    return box(text).left < around.left - 1 || box(text).right > around.right + 1 || box(text).top < around.top - 1 || box(text).bottom > around.bottom + 1;
  }).map(words);
  const over = all.filter((element) => getComputedStyle(element).overflow === "hidden")
    .filter((element) => element.scrollWidth > element.clientWidth + 1 || element.scrollHeight > element.clientHeight + 1).map(words);
  const aside = [...document.querySelectorAll(".label")].flatMap((label) => [...label.querySelectorAll("*")].filter((element) => {
    const [inner, outer] = [box(element), box(label)];
    return inner.left < outer.left || inner.right > outer.right || inner.top < outer.top || inner.bottom > outer.bottom;
  }).map(words));
  return { out, unseen, drawn, over, aside };
}

// The text of the rows of the tables, without blanks, as the PDF must have it.
const rows = (page) => page.$$eval("tbody tr", (rows) => rows.map((row) => [...row.cells].map((cell) => cell.innerText.trim())));

// Prints the open page, and checks it on paper.
async function printed(window, { name, kind, paper, sheets }) {
  const { page, label } = window;
  const where = `${label}: ${name}`;
  const inside = Math.floor((WIDTH[paper] - 2 * MARGIN[kind]) * PIXELS);
  await page.setViewportSize({ width: inside, height: 1000 });
  await page.emulateMedia({ media: "print" });
  const told = await page.evaluate(cut);
  none(told.out, `${where}: out of the paper`);
  none(told.unseen, `${where}: not drawn`);
  none(told.drawn, `${where}: out of its drawing`);
  none(told.over, `${where}: cut off`);
  none(told.aside, `${where}: out of its label`);
  const pdf = await page.pdf({ preferCSSPageSize: true });
  const file = join(window.shots, `${name.replace(/[^a-z0-9]+/gi, "-")}.pdf`);
  writeFileSync(file, pdf);
  same(pages(pdf), sheets, `${where}: sheets of paper`);
  await everyRow(page, wordsOf(file), where);
  await page.emulateMedia({ media: null });
}

// Cells are set in columns and broken into lines, so that each word is looked for by itself.
async function everyRow(page, words, where) {
  if (words === null) return;
  const there = new Set(words.split(/\s+/));
  const cells = (await rows(page)).flat().flatMap((cell) => cell.split(/\s+/)).filter(Boolean);
  none(cells.filter((word) => !there.has(word) && !words.includes(word)), `${where}: not on paper`);
}

const SPANS = [["4 weeks", "2026-10-19", "2026-11-15", 2], ["6 weeks", "2026-10-05", "2026-11-15", 2], ["12 weeks", "2026-08-24", "2026-11-15", 2]];
// More batches than the largest sheet has labels.
const MANY = 32;
// Labels of a sheet, by its name.
const SHEETS = { "letter-3x10": 30, "letter-2x5": 10, "a4-3x7": 21, "a4-2x7": 14 };

// Pages of the demo household, left as PDF in the folder `papers`.
export async function print(browser, program, served, papers) {
  const window = await Window.open(browser, served.address, "print", papers);
  for (const paper of ["a4", "letter"]) {
    for (const [name, from, to, sheets] of SPANS) {
      await window.go(`/visit/page?from=${from}&to=${to}&paper=${paper}`);
      await printed(window, { name: `visit ${name} ${paper}`, kind: "visit", paper, sheets });
    }
    for (const recipe of recipesOf(served)) {
      await window.go(`/cook/recipe/${recipe}/card?trays=2&paper=${paper}`);
      await printed(window, { name: `card ${recipe} ${paper}`, kind: "card", paper, sheets: 1 });
    }
  }
  await labels(window, program, served);
  await legible(window);
  window.quiet("print");
  await window.close();
}

// Charts on a phone: no text of a drawing is smaller than 14 px as displayed, and none lies over another or over a bar.
const CHARTS = ["/visit/page?from=2026-11-09&to=2026-11-15", "/visit/page?from=2026-10-05&to=2026-11-15", "/week/held?from=2026-11-09", "/money"];
const SMALLEST = 14;

async function legible(window) {
  const { page } = window;
  await page.setViewportSize({ width: 360, height: 740 });
  for (const path of CHARTS) {
    await window.go(path);
    const told = await page.evaluate((smallest) => {
      const shown = [...document.querySelectorAll("svg.chart")].filter((svg) => svg.checkVisibility());
      const [small, over] = [[], []];
      const meet = (one, other) => one.left + 1 < other.right && other.left + 1 < one.right && one.top + 2 < other.bottom && other.top + 2 < one.bottom;
      for (const svg of shown) {
        const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
        const texts = [...svg.querySelectorAll("text")].map((text) => ({ words: text.textContent, px: parseFloat(getComputedStyle(text).fontSize) * scale, at: text.getBoundingClientRect() }));
        const marks = [...svg.querySelectorAll("rect, circle")].map((mark) => mark.getBoundingClientRect());
        small.push(...texts.filter(({ px }) => px < smallest).map(({ words, px }) => `${words}: ${px.toFixed(1)} px`));
        over.push(...texts.filter((text, at) => marks.some((mark) => meet(text.at, mark)) || texts.slice(at + 1).some((next) => meet(text.at, next.at))).map(({ words }) => words));
      }
      return { count: shown.length, small, over };
    }, SMALLEST);
    check(told.count > 0, `print: ${path} at 360 px: ${told.count} charts`);
    none(told.small, `print: ${path} at 360 px: small text in a chart`);
    none(told.over, `print: ${path} at 360 px: text over something in a chart`);
  }
}

const recipesOf = (served) => readdirSync(join(served.folder, "recipes")).filter((file) => file.endsWith(".toml")).map((file) => file.slice(0, -".toml".length));

// A label for each batch, on as many sheets as it takes: of the demo, and of a freezer that holds more than a sheet does.
async function labels(window, program, served) {
  const crowded = program.folder("crowded");
  program.say(crowded, "demo", "--into", "book");
  const book = join(crowded, "book");
  const recipes = recipesOf(served);
  for (let batch = 0; batch < MANY; batch += 1) program.say(book, "freeze", recipes[batch % recipes.length], "--cubes", "20", "--on", "2026-11-16");
  const { address } = await program.page(book);
  for (const [name, at] of [["demo", served.address], ["many", address]]) {
    for (const [sheet, on] of Object.entries(SHEETS)) {
      await window.page.goto(new URL(`/freezer/labels?sheet=${sheet}`, at).href);
      const there = await window.page.locator(".label").count();
      check(there >= (name === "many" ? MANY : 1), `print: labels ${name} ${sheet}: ${there} labels`);
      await printed(window, { name: `labels ${name} ${sheet}`, kind: "labels", paper: sheet.split("-")[0], sheets: Math.ceil(there / on) });
    }
  }
  window.foreign.length = 0; // the second household stands at an address of its own
}
