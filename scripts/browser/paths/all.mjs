// The main path of each room, start to end, in each size, with script and without. The record is then as it was.
import { SIZES, Window } from "../browser.mjs";
import { check, none } from "../checks.mjs";
import { record } from "../program.mjs";
import { cook } from "./cook.mjs";
import { freezer } from "./freezer.mjs";
import { mix } from "./mix.mjs";
import { foods, money, tastes, visit } from "./reading.mjs";
import { start } from "./start.mjs";
import { today } from "./today.mjs";
import { week } from "./week.mjs";
import { homeAddress, NAME, network, paired } from "./network.mjs";

const ROOMS = { today, freezer, cook, mix, week, tastes, money, visit, foods };
const WAYS = SIZES.flatMap(([width, height]) => [true, false].map((javaScriptEnabled) => ({ viewport: { width, height }, javaScriptEnabled })));
const labelled = (room, { viewport, javaScriptEnabled }) => `${room} ${viewport.width}${javaScriptEnabled ? "" : " plain"}`;

// Walks one path in one way; a path that stops halfway is a failure of its own.
async function walk(browser, address, label, shots, options, path) {
  const window = await Window.open(browser, address, label, shots, options);
  window.page.setDefaultTimeout(10_000);
  try {
    await path(window);
    window.quiet(label);
  } catch (error) {
    check(false, `${label}: stopped at ${window.path()}: ${error.message}`);
    await window.shoot("stopped");
  }
  await window.close();
}

// The rooms of the demo household.
export async function paths(browser, program, served, shots) {
  const before = record(program, served.folder);
  for (const options of WAYS) {
    for (const [name, room] of Object.entries(ROOMS)) {
      const label = labelled(name, options);
      await walk(browser, served.address, label, shots, options, (window) => room(window, { program, served }));
      unchanged(before, record(program, served.folder), label);
    }
  }
}

// The record must be what it was before; a failure lists the first lines that differ.
function unchanged(before, after, label) {
  const [old, now] = [before.split("\n"), after.split("\n")];
  const more = now.filter((line) => !old.includes(line)).concat(old.filter((line) => !now.includes(line)));
  none(before === after ? [] : more, `${label}: the record is not as it was`);
}

// A book is started six times, in six empty folders.
export async function starts(browser, program, shots) {
  for (const [at, options] of WAYS.entries()) {
    const served = await program.page(program.folder(`start-${at}`));
    await walk(browser, served.address, labelled("start", options), shots, options, start);
  }
}

// A device of the home network, where this computer is in one. `folder` holds a book with cubes in the freezer.
export async function devices(browser, program, folder, shots) {
  const home = homeAddress();
  if (!home) {
    console.log("browser part device, skipped: this computer has no address in a home network, so no device was let in");
    return;
  }
  const { address, code, local } = network(await program.page(folder, "--lan", home));
  // The record keeps devices that were let in.
  const entries = () => record(program, folder).split("\n").filter((line) => !line.includes(NAME)).join("\n");
  const before = entries();
  for (const options of WAYS) {
    const label = labelled("device", options);
    await walk(browser, address, label, shots, options, (window) => paired(window, { code, local }));
    unchanged(before, entries(), label);
  }
}
