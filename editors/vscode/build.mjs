// Makes dist/: the extension in one file with what it uses, and the grammar.

import { copyFileSync } from "node:fs";
import { build } from "esbuild";

await build({
  entryPoints: ["src/main.js"],
  outfile: "dist/main.js",
  bundle: true,
  minify: true,
  platform: "node",
  format: "cjs",
  external: ["vscode"],
});
copyFileSync("../textmate/dryfit.tmLanguage.json", "dist/dryfit.tmLanguage.json");
