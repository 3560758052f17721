// A report in a real browser: no console message, no request, no violation by axe, in light, dark and print.
//
//   npm install axe-core playwright-core        (anywhere; NODE_PATH names its node_modules)
//   NODE_PATH=.../node_modules node tests/bench/report_page.cjs REPORT.html [CHROMIUM]
//
// Prints one line for each state of the page, and leaves REPORT.pdf on A4 and on Letter beside it. Exit status 1 where
// anything was found.
"use strict";

const path = require("path");
const { chromium } = require("playwright-core");
const axe = require("axe-core");

async function main(file, browserPath) {
  const browser = await chromium.launch({ executablePath: browserPath, args: ["--no-sandbox", "--disable-gpu"] });
  const page = await (await browser.newContext()).newPage();
  const heard = [];
  const asked = [];
  const url = `file://${path.resolve(file)}`;
  page.on("console", (message) => heard.push(message.text()));
  page.on("pageerror", (error) => heard.push(String(error)));
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(url);
  let found = 0;
  for (const state of [{ colorScheme: "light" }, { colorScheme: "dark" }, { media: "print", colorScheme: "dark" }]) {
    await page.emulateMedia({ media: "screen", ...state });
    const told = await page.evaluate(`${axe.source}; axe.run(document, { resultTypes: ["violations", "incomplete"] })`);
    found += told.violations.length;
    const name = state.media || state.colorScheme;
    console.log(`${name}: ${told.violations.length} violations, ${told.incomplete.length} undecided, by axe ${axe.version}`);
    for (const one of told.violations) console.log(`  ${one.id}: ${one.help} (${one.nodes.length}) ${one.nodes[0].html.slice(0, 160)}`);
    for (const one of told.incomplete) console.log(`  undecided: ${one.id}: ${one.help} (${one.nodes.length}) ${one.nodes[0].html.slice(0, 160)}`);
  }
  const wide = await page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth");
  for (const format of ["A4", "Letter"]) {
    await page.pdf({ path: file.replace(/\.html$/, "") + `-${format}.pdf`, format, preferCSSPageSize: false });
  }
  await browser.close();
  const others = asked.filter((one) => one !== url);
  console.log(`console messages ${heard.length}, requests beside the page itself ${others.length}, wider than the window by ${wide}`);
  for (const one of [...heard, ...others]) console.log(`  ${one}`);
  return found || heard.length || others.length ? 1 : 0;
}

main(process.argv[2], process.argv[3] || "/usr/bin/chromium").then((status) => process.exit(status));
