// Tests the kitchen page in Chromium, part by part; the first line of each module says what it tests.
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
import { Program } from "./program.mjs";
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

// Two groups at a time, each in a household of its own: parts that read, and parts that change the record.
async function looking(served) {
  const all = await walked(browser, served);
  await part("rooms", () => rooms(browser, served, all, into("rooms")));
  await part("zoom", () => zooms(browser, served, all, into("zoom")));
  await part("motion", () => motion(browser, served, all));
  await part("keyboard", () => keyboard(browser, served, all));
  await part("print", () => print(browser, program, served, into("paper") ?? work));
  await part("children", async () => children(browser, await program.page(household(program)), into("two")));
}

async function doing(served) {
  await part("paths", () => paths(browser, program, served, into("paths")));
  await part("uses", () => uses(browser, program, served, into("uses")));
  await part("taps", () => taps(browser, { program, served, rmSync, join, readFileSync, writeFileSync }, into("taps")));
  await part("import", () => importing(browser, program, into("import")));
  await part("start", () => starts(browser, program, into("paths")));
  await part("device", () => devices(browser, program, served.folder, into("paths")));
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
