// The names and roles for a screen reader, from the accessibility tree of the browser.
import { check, none, same } from "./checks.mjs";

const CONTROLS = new Set(["button", "link", "textbox", "searchbox", "spinbutton", "slider", "combobox", "checkbox", "radio", "switch", "Date", "DateTime"]);
const PICTURES = new Set(["image", "img", "graphics-document", "SvgRoot"]);

// Checks names, headings, landmarks, tables and pictures of the open page. `rooms`: whether it has the navigation.
export async function named(window, where, { rooms }) {
  const tree = await treeOf(window);
  const of = (...roles) => tree.filter((node) => roles.includes(node.role));
  headings(of("heading"), where);
  same(of("main").length, 1, `${where}: parts that are the main one`);
  if (rooms) check(of("navigation").length >= 1, `${where}: there is no way to the rooms`);
  none(tree.filter((node) => PICTURES.has(node.role) && !node.name).map((node) => node.role), `${where}: pictures without a name`);
  none(of("table").filter((node) => !node.name).map(() => "a table"), `${where}: without a name`);
  none(await window.page.evaluate(withoutHeaders), `${where}: tables without headers`);
  none(await window.page.evaluate(withoutTable), `${where}: charts without a table in their section`);
  const controls = tree.filter((node) => CONTROLS.has(node.role));
  none(controls.filter((node) => !node.name).map((node) => node.role), `${where}: controls without a name`);
  none(await confused(window, controls), `${where}: one name for different things`);
}

async function treeOf(window) {
  window.cdp ??= await window.context.newCDPSession(window.page);
  const { nodes } = await window.cdp.send("Accessibility.getFullAXTree");
  return nodes.filter((node) => !node.ignored).map((node) => ({
    role: node.role?.value,
    name: node.name?.value?.trim() ?? "",
    level: node.properties?.find((one) => one.name === "level")?.value.value,
    dom: node.backendDOMNodeId,
  }));
}

function headings(all, where) {
  same(all.filter((node) => node.level === 1).length, 1, `${where}: headings of the first level`);
  const skipped = all.filter((node, at) => node.level > (all[at - 1]?.level ?? 0) + 1);
  none(skipped.map((node) => node.name), `${where}: headings that skip a level`);
  none(all.filter((node) => !node.name).map((node) => `h${node.level}`), `${where}: headings without words`);
}

function withoutHeaders() {
  const tables = [...document.querySelectorAll("table")].filter((table) => table.checkVisibility());
  return tables.filter((table) => !table.querySelector("th[scope]")).map((table) => table.textContent.trim().slice(0, 40));
}

function withoutTable() {
  const charts = [...document.querySelectorAll("svg.chart")];
  return charts.filter((chart) => !chart.closest("section")?.querySelector("table")).map((chart) => chart.getAttribute("aria-labelledby") ?? "a chart");
}

// Controls of the same role and name that do different things.
async function confused(window, controls) {
  const alike = new Map();
  for (const node of controls) {
    const name = `${node.role} "${node.name}"`;
    alike.set(name, [...(alike.get(name) ?? []), node]);
  }
  const faults = [];
  for (const [name, nodes] of alike) {
    if (nodes.length < 2) continue;
    const does = new Set();
    for (const node of nodes) does.add(await doing(window.cdp, node.dom));
    if (does.size > 1) faults.push(`${name}: ${[...does].slice(0, 2).join(" / ")}`);
  }
  return faults;
}

// What a control does: the address of a link, or what its form sends; empty for a choice.
async function doing(cdp, backendNodeId) {
  const { object } = await cdp.send("DOM.resolveNode", { backendNodeId });
  const { result } = await cdp.send("Runtime.callFunctionOn", { objectId: object.objectId, functionDeclaration: does.toString(), returnByValue: true });
  return result.value;
}

function does() {
  const element = this.nodeType === Node.ELEMENT_NODE ? this : this.parentElement;
  if (element.href) return element.href;
  if (element.type === "radio" || element.type === "checkbox") return "";
  const form = element.form;
  const hidden = form ? [...form.querySelectorAll("input[type=hidden]")].map((one) => `${one.name}=${one.value}`) : [];
  return [element.type === "submit" ? "sends" : element.id || element.name, form?.getAttribute("action"), element.name, element.value, ...hidden].join(" ");
}
