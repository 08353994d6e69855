// Every address that a room links to is checked.
import { SIZES, Window } from "./browser.mjs";
import { accessible, check, notWider, targets } from "./checks.mjs";
import { named } from "./names.mjs";

// Addresses that no link leads to.
const BESIDE = ["/mix?cubes-48=2&cubes-63=1", "/foods?words=sweet+potato", "/money?words=squash", "/cook/recipe/red-lentil-squash/freeze?trays=2", "/foods/11485", "/no-such-page",
  "/visit/page?from=2026-10-19&to=2026-11-15", "/cook/recipe/red-lentil-squash/card?trays=2"];
// A sheet of stickers is drawn in millimetres, and has no headings.
const STICKERS = "/freezer/labels";
// A page to print has no navigation.
export const isSheet = (path) => path.startsWith(STICKERS) || /\/card\b|\/visit\/page/.test(path);

// Every address that a room links to, one of each kind, beginning with the first room.
export async function addresses(window) {
  const found = new Set();
  const waiting = ["/"];
  const patterns = new Set();
  while (waiting.length > 0) {
    await window.go(waiting.shift());
    for (const href of await window.page.$$eval("a[href^='/']", (links) => links.map((link) => link.getAttribute("href")))) {
      const pattern = href.replace(/\d+/g, "N").replace(/recipe\/[a-z-]+/, "recipe/R");
      if (patterns.has(pattern)) continue;
      patterns.add(pattern);
      found.add(href);
      waiting.push(href);
    }
  }
  return [...found];
}

async function lookAt(window, path, { names }) {
  const where = `${window.label} ${path}`;
  const missing = path === "/no-such-page";
  const stickers = path.startsWith(STICKERS);
  const answer = await window.go(path);
  check(answer.status() === (missing ? 404 : 200), `${where}: status ${answer.status()}`);
  if (!stickers) await notWider(window.page, where);
  await targets(window.page, where);
  if (window.script) await accessible(window.page, where, { stickers });
  if (names && !stickers) await named(window, where, { rooms: !missing && !isSheet(path) });
  await window.shoot(path);
  window.quiet(where, (words) => missing && words.includes("404"));
}

// Checks each address in one window.
export async function look(browser, served, paths, label, shots, options, { names = false } = {}) {
  const window = await Window.open(browser, served.address, label, shots, options);
  for (const path of paths) await lookAt(window, path, { names });
  await window.close();
}

// The addresses of a household that are checked.
export async function walked(browser, served) {
  const window = await Window.open(browser, served.address, "rooms");
  const paths = [...await addresses(window), ...BESIDE];
  await window.close();
  return paths;
}

// All rooms of a household: sizes with and without script, dark, forced colours, and 320 px, which is a page of 1280 px at 400 %.
export async function rooms(browser, served, paths, shots) {
  const ways = SIZES.flatMap(([width, height]) => [
    [`${width}`, { viewport: { width, height } }, { names: true }],
    [`${width}-plain`, { viewport: { width, height }, javaScriptEnabled: false }],
  ]);
  ways.push(
    ["dark", { viewport: { width: 360, height: 740 }, colorScheme: "dark" }],
    ["dark-1280", { viewport: { width: 1280, height: 800 }, colorScheme: "dark" }],
    ["forced", { viewport: { width: 360, height: 740 }, forcedColors: "active" }],
    ["320", { viewport: { width: 320, height: 256 } }],
  );
  for (const [label, options, more] of ways) await look(browser, served, paths, label, shots, options, more);
}
