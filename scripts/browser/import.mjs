// Reads a dataset in through the page of a household that has a book: the bar moves while the file is sent and while it is read,
// with script and without, and its foods are found afterwards; then it is dropped, and a file that is not a dataset is reported.
// The foods are invented.
import { crc32 } from "node:zlib";
import { Window } from "./browser.mjs";
import { check, same } from "./checks.mjs";

// Bytes a second at which the file is sent, and foods in it, so that there is something to see.
const SLOW = 400_000;
const FOODS = 20_000;
const LONG = { timeout: 60_000 };

// A zip of stored files (PKWARE, APPNOTE.TXT 4.3).
function zip(files) {
  const parts = [];
  const entries = [];
  let at = 0;
  const put = (part) => { parts.push(part); at += part.length; };
  for (const [name, text] of files) {
    const data = Buffer.from(text);
    const fields = Buffer.alloc(26);
    fields.writeUInt16LE(20, 0);
    fields.writeUInt32LE(crc32(data), 10);
    fields.writeUInt32LE(data.length, 14);
    fields.writeUInt32LE(data.length, 18);
    fields.writeUInt16LE(name.length, 22);
    const place = Buffer.alloc(14);
    place.writeUInt32LE(at, 10);
    entries.push(Buffer.from("PK\x01\x02\x14\x00"), fields, place, Buffer.from(name));
    put(Buffer.concat([Buffer.from("PK\x03\x04"), fields, Buffer.from(name)]));
    put(data);
  }
  const list = Buffer.concat(entries);
  const end = Buffer.alloc(22);
  end.write("PK\x05\x06", "latin1");
  end.writeUInt16LE(files.length, 8);
  end.writeUInt16LE(files.length, 10);
  end.writeUInt32LE(list.length, 12);
  end.writeUInt32LE(at, 16);
  return Buffer.concat([...parts, list, end]);
}

// A download in the layout of FoodData Central.
function download(foods) {
  const names = ["fdc_id,data_type,description,publication_date"];
  const values = ["id,fdc_id,nutrient_id,amount,derivation_id"];
  for (let id = 1000; id < 1000 + foods; id += 1) {
    names.push(`${id},foundation_food,"Moonroot, lot ${id}",2026-11-01`);
    for (const nutrient of [1089, 1095, 1087, 1090]) values.push(`${id}${nutrient},${id},${nutrient},2,70`);
  }
  const nutrients = "id,name,unit_name,nutrient_nbr\n1089,Iron,MG,303\n1095,Zinc,MG,309\n1087,Calcium,MG,301\n1090,Magnesium,MG,304\n";
  return zip([["food.csv", `${names.join("\n")}\n`], ["food_nutrient.csv", `${values.join("\n")}\n`], ["nutrient.csv", nutrients]]);
}

const file = (buffer, name = "moonroot.zip") => ({ name, mimeType: "application/zip", buffer });

// Sends the file as slowly as over a poor line, and watches the bar.
async function watched(window) {
  const { page, label } = window;
  const network = await window.context.newCDPSession(page);
  await network.send("Network.enable");
  await network.send("Network.emulateNetworkConditions", { offline: false, latency: 0, downloadThroughput: -1, uploadThroughput: SLOW });
  await page.focus("#import form button");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector("#import progress")?.value > 20, null, LONG);
  check((await window.text("#import")).includes("Receiving the file"), `${label}: the page shows what was received`);
  check((await window.text("#said")).includes("percent"), `${label}: it is said how far it is`);
  await window.sound("receiving");
  await page.waitForURL("**/foods/import", LONG);
  // On a fast machine the import may end before the page is read.
  await page.waitForFunction(() => /Reading|Writing|Read in/.test(document.querySelector("#import")?.textContent), null, LONG);
  await window.shoot("reading");
  await page.waitForFunction(() => document.querySelector("#import .notice, #import .wrong"), null, LONG);
  if (await page.locator("#said:has-text('Read in: ')").count() === 0) {
    same(await page.evaluate(() => document.activeElement.matches(".notice")), true, `${label}: the end is said, or has the focus where it was there from the start`);
  }
}

// Without script the page is loaded again by a link.
async function lookedAgain({ page }) {
  await page.click("#import form button");
  while (await page.$("#import[data-live]")) await page.click("#import .door");
}

// The dataset is gone a moment after it is dropped.
async function dropped({ page, script }) {
  await page.click("form[action='/foods/drop'] button");
  if (script) await page.waitForFunction(() => !document.querySelector("#import[data-live]"), null, LONG);
  else while (await page.$("#import[data-live]")) await page.click("#import .door");
}

async function found(window) {
  await window.go("/foods?words=moonroot");
  return (await window.page.$$(".list a[href^='/foods/1']")).length;
}

// The whole way in one window.
async function way(window) {
  const { page, label } = window;
  await window.go("/foods");
  await window.sound("start");
  await page.setInputFiles("#zip", file(download(FOODS)));
  await (window.script ? watched(window) : lookedAgain(window));
  check((await window.text("#import")).includes(`: ${FOODS} foods`), `${label}: it says what came in`);
  await window.sound("done");
  check((await found(window)) > 0, `${label}: its foods are found`);
  await page.setInputFiles("#zip", file(Buffer.from("not a zip")));
  await page.click("#import form button");
  await page.waitForSelector("#import .wrong");
  check((await window.text("#import .wrong")).includes("not a zip"), `${label}: a file that is none is told of`);
  await window.sound("failed");
  await window.go("/foods");
  await window.sound("in use");
  await dropped(window);
  check((await window.text("#import")).includes("Dropped"), `${label}: it is dropped`);
  same(await found(window), 0, `${label}: its foods are gone`);
  window.quiet(label);
}

export async function importing(browser, program, shots) {
  const parent = program.folder("importing");
  program.say(parent, "demo", "--into", "book");
  const { address } = await program.page(`${parent}/book`);
  const narrow = { width: 360, height: 740 };
  const ways = {
    "import 360": { viewport: narrow },
    "import 1280 dark": { viewport: { width: 1280, height: 800 }, colorScheme: "dark" },
    "import 360 plain": { viewport: narrow, javaScriptEnabled: false },
  };
  for (const [label, options] of Object.entries(ways)) {
    const window = await Window.open(browser, address, label, shots, options);
    await way(window).catch((error) => check(false, `${label}: stopped at ${window.path()}: ${error.message}`));
    await window.close();
  }
}
