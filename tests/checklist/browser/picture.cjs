// Takes the picture of the page for the bench that the README shows: the drawing of a sheet's first part, as it prints.
//   node picture.cjs PARTS CHROMIUM PAGE PICTURE
"use strict";

const path = require("node:path");

const [parts, chromium, page, picture] = process.argv.slice(2);
const puppeteer = require(path.join(path.resolve(parts), "node_modules", "puppeteer-core"));

async function main() {
  const browser = await puppeteer.launch({ executablePath: chromium, headless: true, args: ["--no-sandbox"] });
  const tab = await browser.newPage();
  // As wide as A4 without its margins, on paper's white.
  await tab.setViewport({ width: 703, height: 1000 });
  await tab.emulateMediaType("print");
  await tab.goto(`file://${path.resolve(page)}`);
  const clip = await tab.evaluate(() => {
    const boxes = [...document.querySelectorAll("h3")].filter((heading) => heading.textContent === "Drawing");
    const box = boxes[0].parentElement.getBoundingClientRect();
    return { x: 0, y: Math.max(box.y - 8, 0), width: 703, height: box.height + 16 };
  });
  await tab.screenshot({ path: picture, clip });
  await browser.close();
}

main();
