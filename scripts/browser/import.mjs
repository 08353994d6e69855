// Reads a dataset in through the page of a household that has a book: the bar moves while the file is sent and while it is read,
// with script and without, and its foods are found afterwards; then it is dropped, and a file that is none is told of.
// The foods are invented. Gives what is wrong, a sentence each; leaves screenshots in a folder if one is named.
//
// import { importing } from "./import.mjs"; failures.push(...await importing(browser, address, shots));
// The page at the address must be one on which a dataset may be read in: of a book, not the demo.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { crc32 } from "node:zlib";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
// Bytes a second at which the file is sent, so that there is something to see.
const SLOW = 400_000;

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

async function audit(page, label, failures) {
  await page.evaluate(AXE);
  const { violations } = await page.evaluate(() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  for (const one of violations) failures.push(`${label}: axe: ${one.id} (${one.nodes.map((node) => node.target.join(" ")).join(", ")})`);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  if (wide > 0) failures.push(`${label}: ${wide} px wider than the screen`);
}

// The whole way in one window.
async function way(browser, address, options, label, shots, failures) {
  const check = (good, what) => { if (!good) failures.push(`${label}: ${what}`); };
  const scripted = options.javaScriptEnabled !== false;
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const seen = [];
  page.on("console", (message) => seen.push(message.text()));
  page.on("pageerror", (error) => seen.push(String(error)));
  const shot = async (name) => {
    if (shots) await page.screenshot({ path: join(shots, `import-${label}-${name}.png`.replaceAll(" ", "-")), fullPage: true });
    if (scripted) await audit(page, `${label} ${name}`, failures);
  };
  await page.goto(new URL("/foods", address).href);
  await shot("start");
  if (scripted) {
    const network = await context.newCDPSession(page);
    await network.send("Network.enable");
    await network.send("Network.emulateNetworkConditions", { offline: false, latency: 0, downloadThroughput: -1, uploadThroughput: SLOW });
  }
  await page.setInputFiles("#zip", file(download(20_000)));
  if (scripted) {
    await page.focus("#import form button");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("#import progress")?.value > 20, null, { timeout: 60_000 });
    check((await page.textContent("#import")).includes("Receiving the file"), "the page shows what was received");
    check((await page.textContent("#said")).includes("percent"), "it is said how far it is");
    await shot("receiving");
    await page.waitForURL("**/foods/import", { timeout: 60_000 });
    await page.waitForFunction(() => /Reading food|Writing/.test(document.querySelector("#import")?.textContent), null, { timeout: 60_000 });
    await shot("reading");
    check(page.url().endsWith("/foods/import"), "it goes on on a page of its own");
    await page.waitForFunction(() => document.querySelector("#import .notice, #import .wrong"), null, { timeout: 60_000 });
    check((await page.textContent("#said")).startsWith("Read in: "), "the end is said");
  } else {
    await page.click("#import form button");
    for (let tries = 0; await page.$("#import[data-live]") && tries < 600; tries += 1) {
      if (tries === 0) await shot("at work");
      await page.click("#import .door");
    }
  }
  check((await page.textContent("#import")).includes(": 20000 foods"), `it says what came in: ${await page.textContent("#import")}`);
  await shot("done");
  await page.goto(new URL("/foods?words=moonroot", address).href);
  check((await page.$$(".list a[href^='/foods/1']")).length > 0, "its foods are found");
  await page.setInputFiles("#zip", file(Buffer.from("not a zip")));
  await page.click("#import form button");
  await page.waitForSelector("#import .wrong");
  check((await page.textContent("#import .wrong")).includes("not a zip"), "a file that is none is told of");
  await shot("failed");
  await page.goto(new URL("/foods", address).href);
  await shot("in use");
  await page.click("form[action='/foods/drop'] button");
  for (let tries = 0; await page.$("#import[data-live]") && tries < 600; tries += 1) {
    if (scripted) await page.waitForTimeout(100);
    else await page.click("#import .door");
  }
  check((await page.textContent("#import")).includes("Dropped"), "it is dropped");
  await page.goto(new URL("/foods?words=moonroot", address).href);
  check((await page.$$(".list a[href^='/foods/1']")).length === 0, "its foods are gone");
  check(seen.length === 0, `console: ${seen.join("; ")}`);
  await context.close();
}

export async function importing(browser, address, shots) {
  const failures = [];
  const narrow = { width: 360, height: 740 };
  const wide = { width: 1280, height: 800 };
  await way(browser, address, { viewport: narrow }, "360", shots, failures);
  await way(browser, address, { viewport: wide, colorScheme: "dark" }, "1280 dark", shots, failures);
  await way(browser, address, { viewport: narrow, javaScriptEnabled: false }, "360 without script", shots, failures);
  return failures;
}
