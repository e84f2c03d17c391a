// Looks at pages for the bench as a browser does: valid HTML, no finding of accessibility, no request, and printed on A4 and
// Letter with nothing wider than the paper and no row, box or drawing cut by the end of a sheet.
//   node check.cjs PARTS CHROMIUM PAGE…
//   node check.cjs PARTS CHROMIUM --broken PAGE    which must show a fault of each kind, or the checks see nothing
"use strict";

const fs = require("node:fs");
const path = require("node:path");

const [parts, chromium, ...rest] = process.argv.slice(2);
const pages = rest.filter((one) => one !== "--broken");
const KINDS = ["html", "accessibility", "request", "width", "cut"];
const load = (name) => require(path.join(path.resolve(parts), "node_modules", name));
const puppeteer = load("puppeteer-core");
const { HtmlValidate, StaticConfigLoader } = load("html-validate");
const axe = fs.readFileSync(path.join(parts, "node_modules/axe-core/axe.min.js"), "utf8");

// Elements that have no content of their own are written as HTML has them; the style of the page stands in it.
const rules = new StaticConfigLoader({
  extends: ["html-validate:recommended"],
  rules: { "no-inline-style": "off", "long-title": "off", "doctype-style": "off", "attribute-boolean-style": "off" },
});

// What must stay on one sheet of paper: a dimension with the line under it, a row of another table, a box, a drawing.
const WHOLE = ".readings tbody, .legend tr, .boxes li, .drawing, .foot";
const MARK = "http://mark.invalid/";

// Puts a link at the head and at the foot of everything that must stay whole: each is found again on a page of the print.
function mark(whole, address) {
  const put = (into, name, edge) => {
    into.style.position = "relative";
    const link = document.createElement("a");
    link.href = address + name;
    link.style.cssText = `position:absolute;left:0;${edge}:0;width:2px;height:2px;overflow:hidden;text-indent:0`;
    link.textContent = ".";
    into.append(link);
  };
  const all = [...document.querySelectorAll(whole)];
  all.forEach((one, index) => {
    const cells = one.querySelectorAll("th, td");
    put(cells[0] ?? one, `${index}-head`, "top");
    put(cells[cells.length - 1] ?? one, `${index}-foot`, "bottom");
  });
  return all.map((one) => one.textContent.trim().slice(0, 60));
}

// On which page of a PDF each mark is, by the page objects and the links that they name.
function pagesOf(pdf) {
  const text = Buffer.from(pdf).toString("latin1");
  const objects = new Map();
  for (const found of text.matchAll(/(\d+) 0 obj\b([\s\S]*?)endobj/g)) objects.set(found[1], found[2]);
  const places = new Map();
  let page = 0;
  for (const body of objects.values()) {
    if (!/\/Type\s*\/Page\b/.test(body)) continue;
    page += 1;
    const named = [...body.matchAll(/(\d+) 0 R/g)].map((reference) => objects.get(reference[1]) ?? "");
    for (const one of [body, ...named]) {
      for (const link of one.matchAll(/mark\.invalid\/(\d+-(?:head|foot))/g)) {
        if (!/\/Type\s*\/Pages?\b/.test(one) || one === body) places.set(link[1], page);
      }
    }
  }
  return places;
}

async function main() {
  const validate = new HtmlValidate(rules);
  const browser = await puppeteer.launch({ executablePath: chromium, headless: true, args: ["--no-sandbox"] });
  let faults = 0;
  let kept = 0;
  const seen = new Set();
  const tell = (page, kind, what) => {
    faults += 1;
    seen.add(kind);
    console.log(`${path.basename(page)}: ${what}`);
  };
  for (const page of pages) {
    const report = await validate.validateFile(page);
    for (const message of report.results.flatMap((result) => result.messages)) {
      tell(page, "html", `${message.line}:${message.column}: ${message.message} [${message.ruleId}]`);
    }
    const tab = await browser.newPage();
    const asked = [];
    tab.on("request", (request) => asked.push(request.url()));
    await tab.goto(`file://${path.resolve(page)}`);
    asked.slice(1).forEach((url) => tell(page, "request", `asks for ${url}`));
    // The page forbids scripts; the checker comes in beside it.
    await tab.setBypassCSP(true);
    await tab.reload();
    await tab.evaluate(axe);
    const found = await tab.evaluate(() => globalThis.axe.run());
    for (const violation of found.violations) {
      tell(page, "accessibility", `${violation.id}: ${violation.nodes[0].html.slice(0, 120)}`);
    }
    await tab.emulateMediaType("print");
    const whole = await tab.evaluate(mark, WHOLE, MARK);
    for (const [paper, width] of [["A4", 703], ["Letter", 725]]) {
      await tab.setViewport({ width, height: 1000 });
      const wide = await tab.evaluate(() => document.documentElement.scrollWidth);
      if (wide > width) {
        tell(page, "width", `is ${wide} px wide on ${paper}, which has ${width}`);
      }
      const pdf = await tab.pdf({ format: paper });
      const pages = pagesOf(pdf);
      if (whole.length && !pages.size) tell(page, "marks", `no mark of ${whole.length} is found in the print`);
      whole.forEach((words, index) => {
        const [head, foot] = [pages.get(`${index}-head`), pages.get(`${index}-foot`)];
        if (head !== foot) tell(page, "cut", `${paper}: cut between sheets ${head} and ${foot}: ${words}`);
        kept += head !== undefined && head === foot;
      });
      const sheets = (Buffer.from(pdf).toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length;
      if (sheets < 1) {
        tell(page, "paper", `prints on no sheet of ${paper}`);
      }
    }
    await tab.close();
  }
  await browser.close();
  console.log(`${pages.length} pages, ${faults} faults, ${kept} rows, boxes and drawings whole`);
  if (rest.includes("--broken")) {
    const missed = KINDS.filter((kind) => !seen.has(kind));
    if (missed.length) console.log(`not seen: ${missed.join(", ")}`);
    process.exit(missed.length ? 1 : 0);
  }
  process.exit(faults ? 1 : 0);
}

main();
