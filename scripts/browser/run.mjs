// Walks through the kitchen page in Chromium. Each part says what it looks at; all are timed.
//
// Usage: node run.mjs PROGRAM FOLDER-FOR-SCREENSHOTS [PART...]
import { mkdtempSync, mkdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { launched } from "./browser.mjs";
import { failures, passed } from "./checks.mjs";
import { children, household } from "./children.mjs";
import { keyboard } from "./keyboard.mjs";
import { Program } from "./kitchen.mjs";
import { motion } from "./motion.mjs";
import { devices, paths, starts } from "./paths/all.mjs";
import { print } from "./print.mjs";
import { abreast, rooms, walked } from "./rooms.mjs";
import { uses } from "./uses.mjs";
import { zooms } from "./zoom.mjs";

const [file, shots, ...chosen] = process.argv.slice(2);
const work = mkdtempSync(join(tmpdir(), "trayful-browser-"));
mkdirSync(shots, { recursive: true });
const program = new Program(file, work);
const browser = await launched();

async function part(name, walk) {
  if (chosen.length > 0 && !chosen.includes(name)) return;
  const [begun, before, failed] = [performance.now(), passed, failures.length];
  await walk();
  const seconds = ((performance.now() - begun) / 1000).toFixed(0);
  console.log(`browser part ${name}: ${passed - before} checks held, ${failures.length - failed} did not, ${seconds} s`);
}

try {
  const kitchen = await program.demo("demo");
  const all = await walked(browser, kitchen, shots);
  await part("rooms", () => rooms(browser, kitchen, all, shots));
  await part("zoom", () => abreast(zooms(browser, kitchen, all, join(shots, "zoom"))));
  await part("keyboard", () => keyboard(browser, kitchen, all, shots));
  await part("print", () => print(browser, program, kitchen, shots));
  await part("paths", () => paths(browser, program, kitchen, join(shots, "paths")));
  await part("uses", () => uses(browser, program, kitchen, join(shots, "uses")));
  await part("motion", () => motion(browser, kitchen, all, shots));
  await part("start", () => starts(browser, program, join(shots, "paths")));
  await part("children", async () => children(browser, await program.page(household(program)), shots));
  await part("device", () => devices(browser, program, kitchen.folder, join(shots, "paths")));
} finally {
  await browser.close();
  program.stop();
  rmSync(work, { recursive: true });
}
for (const failure of failures) console.error(failure);
console.log(`browser: ${passed} passed, ${failures.length} failed`);
process.exitCode = failures.length > 0 ? 1 : 0;
