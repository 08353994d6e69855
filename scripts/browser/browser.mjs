// The browser, and a window of it that collects console messages and requests to other sites.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { accessible, none, notWider, targets } from "./checks.mjs";
import { named } from "./names.mjs";

export const SIZES = [[360, 740], [768, 1024], [1280, 800]];

// Pages without navigation: before there is a book, before a device is let in, and on paper.
const WITHOUT_ROOMS = /^\/(start|pair|visit\/page)/;

export function launched() {
  return chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

// A window onto the page at `address`. Screenshots go to the folder `shots`, where one is given; `options` are those of a
// Playwright context.
export class Window {
  static async open(browser, address, label, shots, options = {}) {
    const window = new Window();
    window.context = await browser.newContext(options);
    window.page = await window.context.newPage();
    Object.assign(window, { address, label, shots, script: options.javaScriptEnabled !== false, console: [], foreign: [] });
    if (shots) mkdirSync(shots, { recursive: true });
    const log = (words) => window.console.push(words);
    window.page.on("console", (message) => log(message.text()));
    window.page.on("pageerror", (error) => log(String(error)));
    window.page.on("request", (request) => {
      if (new URL(request.url()).origin !== new URL(address).origin) window.foreign.push(request.url());
    });
    return window;
  }

  go(path) {
    return this.page.goto(new URL(path, this.address).href);
  }

  path() {
    return this.page.url().slice(new URL(this.address).origin.length);
  }

  text(selector) {
    return this.page.textContent(selector);
  }

  async shoot(what) {
    if (!this.shots) return;
    const file = `${this.label} ${what}`.replace(/[^a-z0-9]+/gi, "-");
    await this.page.screenshot({ path: join(this.shots, `${file}.png`), fullPage: true });
  }

  // Checks the page as it is now: its width, its targets, the rules of axe-core, and its accessibility tree.
  async sound(what) {
    const where = `${this.label}: ${what}`;
    await notWider(this.page, where);
    await targets(this.page, where);
    if (this.script) {
      await accessible(this.page, where);
      await named(this, where, { rooms: !WITHOUT_ROOMS.test(this.path()) });
    }
    await this.shoot(what);
  }

  // Waits for the notice that says `words`.
  async notice(words) {
    await this.page.waitForSelector(`.notice:has-text(${JSON.stringify(words)})`);
  }

  // Takes back what was just done.
  async takeBack() {
    await this.page.click(".notice button");
    await this.notice("Took back");
  }

  // Checks that the console has only `expected` messages, and that no request went to another site.
  quiet(where, expected = () => false) {
    none(this.console.filter((words) => !expected(words)), `${where}: console`);
    none(this.foreign, `${where}: left the page`);
    this.console.length = 0;
  }

  close() {
    return this.context.close();
  }
}
