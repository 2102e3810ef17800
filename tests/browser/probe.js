"use strict";
// Looks at a page as a reader would see it and writes what is wrong with it, one fault a line, into the page.
const faults = [];
const say = (fault) => faults.push(fault.replace(/\s+/g, " ").slice(0, 300));
const shown = (box) => box.width > 0 && box.height > 0;

// requests
for (const entry of performance.getEntriesByType("resource")) say(`request: ${entry.name}`);

// everything that is folded is looked at as well
for (const fold of document.querySelectorAll("details")) fold.open = true;

// pictures
const pictures = document.querySelectorAll("figure svg");
if (pictures.length === 0) say("no picture");
for (const picture of pictures) {
  const name = picture.querySelector("title")?.textContent ?? "";
  const named = document.getElementById(picture.getAttribute("aria-labelledby"))?.textContent.trim();
  const told = document.getElementById(picture.getAttribute("aria-describedby"))?.textContent.trim();
  if (!named || !told) say(`picture without name or description: ${name}`);
  const outer = picture.getBoundingClientRect();
  if (!shown(outer)) say(`empty picture: ${name}`);
  const marks = picture.querySelectorAll("line, polyline, polygon, rect, circle, path");
  if (marks.length < 2) say(`picture without marks: ${name}`);
  const texts = [...picture.querySelectorAll("text")].map((text) => {
    const box = text.getBoundingClientRect();
    // a line of text is higher than its letters
    const inset = box.height * 0.22;
    return { said: text.textContent.trim(), left: box.left + 0.5, right: box.right - 0.5, top: box.top + inset, bottom: box.bottom - inset };
  }).filter((text) => text.said !== "");
  if (texts.length < 3) say(`picture without text: ${name}`);
  texts.forEach((a, i) => {
    if (a.left < outer.left - 1 || a.right > outer.right + 1 || a.top < outer.top - 1 || a.bottom > outer.bottom + 1) {
      say(`${name}: over the edge: ${a.said}`);
    }
    for (const b of texts.slice(0, i)) {
      if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom) say(`${name}: "${a.said}" over "${b.said}"`);
    }
  });
}

// the page itself
if (document.documentElement.scrollWidth > innerWidth + 1) say(`wider than the window: ${document.documentElement.scrollWidth} of ${innerWidth}`);
for (const cell of document.querySelectorAll("td, th")) {
  if (cell.scrollWidth > cell.clientWidth + 2) say(`a cell overflows: ${cell.textContent}`);
}
const ids = [...document.querySelectorAll("[id]")].map((element) => element.id);
for (const id of new Set(ids.filter((id, k) => ids.indexOf(id) !== k))) say(`two elements of one id: ${id}`);
for (const link of document.querySelectorAll("a")) {
  const to = link.getAttribute("href");
  if (!to.startsWith("#") || !document.getElementById(to.slice(1))) say(`a link that leads nowhere here: ${to}`);
}
for (const landmark of ["header", "main", "footer", "nav"]) {
  if (document.querySelectorAll(`body > ${landmark}, body > header > ${landmark}`).length !== 1) say(`not one ${landmark}`);
}
if (document.querySelectorAll("h1").length !== 1) say("not one h1");
let level = 0;
for (const heading of document.querySelectorAll("h1, h2, h3, h4")) {
  const here = Number(heading.tagName[1]);
  if (here > level + 1) say(`a heading skips a level: ${heading.textContent}`);
  level = here;
}
for (const table of document.querySelectorAll("table")) {
  const widths = new Set([...table.rows].map((row) => row.cells.length));
  if (widths.size !== 1) say(`rows of unequal length: ${table.caption?.textContent}`);
  if (!table.caption?.textContent.trim()) say("a table without a name");
  // sorting by a column and back keeps every row
  const rows = table.tBodies[0].rows.length;
  const button = table.querySelector("thead button");
  if (button) {
    button.click();
    button.click();
  }
  if (table.tBodies[0].rows.length !== rows) say(`sorting lost rows: ${table.caption?.textContent}`);
}

// contrast of text on the page, by the formula of WCAG 2.2 (relative luminance)
const channel = (value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4);
const luminance = (color) => {
  const [red, green, blue] = color.match(/[\d.]+/g).map((part) => channel(Number(part) / 255));
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
};
const ground = (element) => {
  for (let at = element; at; at = at.parentElement) {
    const color = getComputedStyle(at).backgroundColor;
    if (!/, 0\)$/.test(color) && color !== "transparent") return color;
  }
  return "rgb(255, 255, 255)";
};
for (const element of document.querySelectorAll("p, li, dt, dd, th, td, h1, h2, h3, h4, a, summary, figcaption, code, button")) {
  if (!element.textContent.trim()) continue;
  const [ink, paper] = [luminance(getComputedStyle(element).color), luminance(ground(element))];
  const ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
  if (!(ratio >= 4.5)) say(`contrast ${ratio.toFixed(2)}: ${element.textContent}`);
}

const done = () => {
  const told = document.createElement("pre");
  told.id = "findings";
  told.textContent = ["BEGIN", ...faults, "END"].join("\n");
  document.body.append(told);
};
if (window.axe) {
  // charts name themselves, so their parts need not be looked at one by one
  axe.run(document, { resultTypes: ["violations"] }).then((found) => {
    for (const fault of found.violations.filter((fault) => ["serious", "critical"].includes(fault.impact))) {
      say(`axe: ${fault.id}: ${fault.help}: ${fault.nodes[0].html}`);
    }
    faults.push(`axe looked: ${found.testEngine.version}`);
    done();
  });
} else {
  done();
}
