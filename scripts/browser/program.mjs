// The program: its page in a folder, and its commands.
import { execFileSync, spawn } from "node:child_process";
import { mkdirSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";

const ENOUGH_MS = 20_000;

export class Program {
  constructor(file, work) {
    Object.assign(this, { file, work, pages: [] });
  }

  // The output of a command.
  say(folder, ...words) {
    return execFileSync(this.file, words, { cwd: folder, encoding: "utf8", stdio: ["ignore", "pipe", "inherit"], maxBuffer: 1 << 26 });
  }

  json(folder, ...words) {
    return JSON.parse(this.say(folder, ...words, "--json"));
  }

  // A new folder, empty.
  folder(name) {
    const folder = join(this.work, name);
    mkdirSync(folder);
    return folder;
  }

  // Serves the page of a folder. A copy of the demo, if it is entered, lies in a folder of its own beside it.
  async page(folder, ...words) {
    const aside = `${folder}-aside`;
    mkdirSync(aside, { recursive: true });
    const running = spawn(this.file, ["page", "--port", "0", ...words], { cwd: folder, env: { ...process.env, TMPDIR: aside }, stdio: ["ignore", "pipe", "inherit"] });
    this.pages.push(running);
    const said = await new Promise((done, fail) => {
      let said = "";
      const late = setTimeout(() => fail(new Error(`the page did not start: ${said}`)), ENOUGH_MS);
      running.stdout.on("data", (words) => {
        said += words;
        if (!said.includes("Stop it with")) return;
        clearTimeout(late);
        done(said);
      });
      running.on("error", fail);
      running.on("exit", () => fail(new Error(`the page ended: ${said}`)));
    });
    const [, address] = said.match(/^The kitchen page is at (\S+)$/m);
    return { address, said, folder, aside };
  }

  // The page of the invented household, entered as a person does; `folder` is then its copy of the book.
  async demo(name) {
    const served = await this.page(this.folder(name));
    const start = await (await fetch(new URL("/start", served.address))).text();
    const [, token] = start.match(/name="token" value="([0-9a-f]*)"/);
    const body = new URLSearchParams({ token });
    await fetch(new URL("/demo", served.address), { method: "POST", body, redirect: "manual" });
    const [copy] = readdirSync(served.aside);
    return { ...served, folder: join(served.aside, copy) };
  }

  stop() {
    for (const running of this.pages) running.kill();
  }
}

// The foods that a book keeps after the last entry with them is gone; they do not count as a change.
const OF_FOODS = new Set(["food.csv", "food_nutrient.csv"]);

// The file of corrections and undos, which stay on record after an entry is taken back.
const HISTORY = "change.csv";
const inForce = (text) => text.split("\n").filter((line) => !/^\d+,[\d-]+,change,/.test(line)).join("\n");

// The entries in force of a book as text, to compare the record before and after.
export function record(program, folder) {
  const out = join(program.work, "exported");
  program.say(folder, "book", "export", out);
  const files = readdirSync(out).filter((file) => file.endsWith(".csv") && !OF_FOODS.has(file) && file !== HISTORY && file !== "own-foods.csv").sort();
  const text = files.map((file) => inForce(readFileSync(join(out, file), "utf8"))).join("\n");
  rmSync(out, { recursive: true });
  return text;
}
