// A device of the home network: it is let in by the code of the terminal, and by no other, until it is dropped.
import { networkInterfaces } from "node:os";
import { Window } from "../browser.mjs";
import { check, same } from "../checks.mjs";

// An address of this computer in a home network; undefined on machines without one.
export function homeAddress() {
  const all = Object.values(networkInterfaces()).flat();
  const home = /^(10\.|192\.168\.|172\.(1[6-9]|2\d|3[01])\.|f[cd][0-9a-f]{2}:)/;
  return all.find((one) => !one.internal && home.test(one.address))?.address;
}

// The addresses and the code that the terminal prints.
export function network(served) {
  const [, address] = served.said.match(/^ +Address: (\S+)$/m);
  const [, code] = served.said.match(/^ +Code: +(.+)$/m);
  return { address, code, local: served.address };
}

// The name of the device in the record.
export const NAME = "phone of the walk";

export async function paired(window, { code, local }) {
  const { page, label } = window;
  await window.go("/freezer");
  same(new URL(page.url()).pathname, "/pair", `${label}: a device that is not let in`);
  await page.fill("#code", "0000 0000");
  await page.click("main form button");
  await page.waitForSelector(".wrong");
  await window.sound("wrong code");
  await letIn(window, code);
  await window.go("/freezer");
  check((await window.text("main")).includes("cubes"), `${label}: the freezer is shown`);
  await page.click("a[href$='/serve']");
  await page.fill("#cubes", "1");
  await page.click("main form button[value=taken]");
  await page.waitForSelector(".notice");
  await window.takeBack();
  await window.sound("let in");
  await dropped(window, local);
  await window.go("/freezer");
  same(new URL(page.url()).pathname, "/pair", `${label}: a device that was dropped`);
  await letIn(window, code);
  await window.go("/freezer");
  same(new URL(page.url()).pathname, "/freezer", `${label}: a device that is let in again`);
  // Over plain HTTP a browser ignores one of the headers and logs it; the other messages are of an empty and a wrong code.
  window.quiet(label, (words) => words.includes("Cross-Origin-Opener-Policy") || /status of (403|422)/.test(words));
}

async function letIn(window, code) {
  const { page, label } = window;
  await page.fill("#code", code);
  await page.fill("#name", `${NAME} ${label}`);
  await page.click("main form button");
  await page.waitForSelector("#rooms");
}

// Drops the device on the computer that serves the page.
async function dropped({ context, page, label, script, shots }, address) {
  const options = { viewport: page.viewportSize(), javaScriptEnabled: script };
  const own = await Window.open(context.browser(), address, `${label} kitchen computer`, shots, options);
  await own.go("/household/devices");
  const row = own.page.locator(".list li", { hasText: `${NAME} ${label},` });
  same(await row.count(), 1, `${label}: the device is on the list`);
  await own.sound("devices");
  await row.locator("button").click();
  await own.page.waitForSelector(".notice");
  same(await row.count(), 0, `${label}: the device is off the list`);
  own.quiet(own.label);
  await own.close();
}
