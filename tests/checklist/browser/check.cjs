// Looks at pages for the bench as a browser does: valid HTML, no finding of accessibility, no request, and printed on A4 and
// Letter within so many sheets of paper, with nothing wider than the paper.
//   node check.cjs PARTS CHROMIUM PAGE…
//   node check.cjs PARTS CHROMIUM --broken PAGE    which must show a fault of each kind, or the checks see nothing
"use strict";

const fs = require("node:fs");
const path = require("node:path");

const [parts, chromium, ...rest] = process.argv.slice(2);
const pages = rest.filter((one) => one !== "--broken");
const KINDS = ["html", "accessibility", "request", "width"];
const load = (name) => require(path.join(path.resolve(parts), "node_modules", name));
const puppeteer = load("puppeteer-core");
const { HtmlValidate, StaticConfigLoader } = load("html-validate");
const axe = fs.readFileSync(path.join(parts, "node_modules/axe-core/axe.min.js"), "utf8");

// Elements that have no content of their own are written as HTML has them; the style of the page stands in it.
const rules = new StaticConfigLoader({
  extends: ["html-validate:recommended"],
  rules: { "no-inline-style": "off", "long-title": "off", "doctype-style": "off", "attribute-boolean-style": "off" },
});

async function main() {
  const validate = new HtmlValidate(rules);
  const browser = await puppeteer.launch({ executablePath: chromium, headless: true, args: ["--no-sandbox"] });
  let faults = 0;
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
    for (const [paper, width] of [["A4", 703], ["Letter", 725]]) {
      await tab.setViewport({ width, height: 1000 });
      const wide = await tab.evaluate(() => document.documentElement.scrollWidth);
      if (wide > width) {
        tell(page, "width", `is ${wide} px wide on ${paper}, which has ${width}`);
      }
      const pdf = await tab.pdf({ format: paper });
      const sheets = (Buffer.from(pdf).toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length;
      if (sheets < 1) {
        tell(page, "paper", `prints on no sheet of ${paper}`);
      }
    }
    await tab.close();
  }
  await browser.close();
  console.log(`${pages.length} pages, ${faults} faults`);
  if (rest.includes("--broken")) {
    const missed = KINDS.filter((kind) => !seen.has(kind));
    if (missed.length) console.log(`not seen: ${missed.join(", ")}`);
    process.exit(missed.length ? 1 : 0);
  }
  process.exit(faults ? 1 : 0);
}

main();
