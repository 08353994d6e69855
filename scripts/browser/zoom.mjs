// A page twice as large, text alone twice as large, and text set wider (WCAG 1.4.4, 1.4.10, 1.4.12): nothing is cut off or covered.
import { SIZES, Window } from "./browser.mjs";
import { none, notWider } from "./checks.mjs";
import { stops } from "./keyboard.mjs";
import { isSheet } from "./rooms.mjs";

const LARGE = "html { font-size: 225% !important }";
const WIDE = "* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important } p { margin-bottom: 2em !important }";

// Adds a stylesheet by script, which the content security policy of the page allows.
function dressed(style) {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(style);
  document.adoptedStyleSheets = [sheet];
}

// Text that is cut off, that sticks out of what is drawn around it, or that lies over other text. A chart is a drawing: its figures stand in
// the table beside it.
function faults() {
  const isHiddenText = (element) => element !== null && (getComputedStyle(element).clipPath === "inset(50%)" || isHiddenText(element.parentElement));
  const shown = (element) => element.checkVisibility({ visibilityProperty: true }) && !element.closest(".skip, svg, select, option") && !isHiddenText(element);
  const words = (element) => (element.textContent.trim() || element.value || element.tagName).slice(0, 40);
  const all = [...document.querySelectorAll("body *")].filter(shown);
  // A text field scrolls with its text.
  const cut = all.filter((element) => {
    if (element.matches("input")) return false;
    const { overflowX, overflowY } = getComputedStyle(element);
    const hides = (overflow, more) => more > 1 && (overflow === "hidden" || overflow === "clip");
    return hides(overflowX, element.scrollWidth - element.clientWidth) || hides(overflowY, element.scrollHeight - element.clientHeight);
  });
  const figures = all.filter((element) => element.matches(".count input:not([type=range]), .row input:not([type=checkbox])") && element.scrollWidth > element.clientWidth + 1);
  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    if (!node.data.trim() || !shown(node.parentElement)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const fixed = Boolean(node.parentElement.closest("nav, .result"));
    // A wide table scrolls within its own frame.
    const frame = node.parentElement.closest(".scroll")?.getBoundingClientRect();
    for (const box of range.getClientRects()) if (box.width > 1 && !(frame && box.right > frame.right)) texts.push({ box, element: node.parentElement, fixed });
  }
  const framed = "button, .door, .choice, .cell, nav a, .lying, .mind, .notice, .wrong, .list a";
  const out = texts.filter(({ box, element }) => {
    const around = element.closest(framed)?.getBoundingClientRect();
    return around && (box.left < around.left - 1 || box.right > around.right + 1 || box.top < around.top - 2 || box.bottom > around.bottom + 2);
  });
  const over = [];
  const sorted = texts.filter((one) => !one.fixed).sort((one, other) => one.box.top - other.box.top);
  for (const [at, one] of sorted.entries()) {
    for (const other of sorted.slice(at + 1)) {
      if (other.box.top > one.box.bottom) break;
      const across = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      const down = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
      // Boxes of lines are taller than their letters: they may touch by a third.
      if (across > 2 && down > Math.min(one.box.height, other.box.height) / 3) over.push(`${words(one.element)} / ${words(other.element)}`);
    }
  }
  return { cut: cut.map(words), figures: figures.map((element) => `${element.name} ${element.value}`), out: out.map(({ element }) => words(element)), over };
}

async function whole(window, path) {
  const where = `${window.label} ${path}`;
  await notWider(window.page, where);
  const told = await window.page.evaluate(faults);
  none(told.cut, `${where}: cut off`);
  none(told.figures, `${where}: cut off in its field`);
  none(told.out, `${where}: sticks out`);
  none(told.over, `${where}: over each other`);
  await window.shoot(path);
}

async function through(browser, served, paths, shots, { label, options, style, keys }) {
  const window = await Window.open(browser, served.address, label, shots, options);
  for (const path of paths) {
    await window.go(path);
    if (style) await window.page.evaluate(dressed, style);
    await whole(window, path);
    if (keys) await stops(window.page, `${label} ${path}`);
  }
  await window.close();
}

export async function zooms(browser, served, paths, shots) {
  const rooms = paths.filter((path) => !isSheet(path));
  const [phone, , desk] = SIZES.map(([width, height]) => ({ width, height }));
  const ways = [
    { label: "zoom", options: { viewport: { width: 640, height: 400 }, deviceScaleFactor: 2 }, keys: true },
    { label: "large text", options: { viewport: desk }, style: LARGE },
    { label: "large text 360", options: { viewport: phone }, style: LARGE },
    { label: "wide text", options: { viewport: desk }, style: WIDE },
    { label: "wide text 360", options: { viewport: phone }, style: WIDE },
  ];
  for (const way of ways) await through(browser, served, rooms, shots, way);
}
