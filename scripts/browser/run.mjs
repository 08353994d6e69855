// Walks through the kitchen page in Chromium, part by part; each module says at its head what it looks at.
//
// Usage: node run.mjs PROGRAM [FOLDER-FOR-SCREENSHOTS [PART...]]
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { launched } from "./browser.mjs";
import { failures, passed } from "./checks.mjs";
import { children, household } from "./children.mjs";
import { importing } from "./import.mjs";
import { keyboard } from "./keyboard.mjs";
import { Program } from "./kitchen.mjs";
import { motion } from "./motion.mjs";
import { devices, paths, starts } from "./paths/all.mjs";
import { print } from "./print.mjs";
import { rooms, walked } from "./rooms.mjs";
import { taps } from "./taps.mjs";
import { uses } from "./uses.mjs";
import { zooms } from "./zoom.mjs";

const [file, shots, ...chosen] = process.argv.slice(2);
const work = mkdtempSync(join(tmpdir(), "trayful-browser-"));
const program = new Program(file, work);
const browser = await launched();
const into = (name) => (shots ? join(shots, name) : undefined);

async function part(name, walk) {
  if (chosen.length > 0 && !chosen.includes(name)) return;
  const begun = performance.now();
  await walk();
  console.log(`browser part ${name}: ${((performance.now() - begun) / 1000).toFixed(0)} s`);
}

// Two at a time: what mostly looks, and the paths, which change the record one after another in a household of their own.
async function looking(kitchen) {
  const all = await walked(browser, kitchen);
  await part("rooms", () => rooms(browser, kitchen, all, into("rooms")));
  await part("zoom", () => zooms(browser, kitchen, all, into("zoom")));
  await part("motion", () => motion(browser, kitchen, all));
  await part("keyboard", () => keyboard(browser, kitchen, all));
  await part("print", () => print(browser, program, kitchen, into("paper") ?? work));
  await part("children", async () => children(browser, await program.page(household(program)), into("two")));
}

async function doing(kitchen) {
  await part("paths", () => paths(browser, program, kitchen, into("paths")));
  await part("uses", () => uses(browser, program, kitchen, into("uses")));
  await part("taps", () => taps(browser, { program, kitchen, rmSync, join, readFileSync, writeFileSync }, into("taps")));
  await part("import", () => importing(browser, program, into("import")));
  await part("start", () => starts(browser, program, into("paths")));
  await part("device", () => devices(browser, program, kitchen.folder, into("paths")));
}

try {
  await Promise.all([looking(await program.demo("looked-at")), doing(await program.demo("done-in"))]);
} finally {
  await browser.close();
  program.stop();
  rmSync(work, { recursive: true });
}
for (const failure of failures) console.error(failure);
console.log(`browser: ${passed} passed, ${failures.length} failed`);
process.exitCode = failures.length > 0 ? 1 : 0;
