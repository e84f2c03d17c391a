// Starts `dryfit language-server` beside the editor.

const { LanguageClient } = require("vscode-languageclient/node");
const { workspace } = require("vscode");
const { serve } = require("./serve.js");

exports.activate = (context) =>
  serve(context, (options) => {
    const command = workspace.getConfiguration("dryfit").get("program");
    return new LanguageClient("dryfit", "Part sheets", { command, args: ["language-server"] }, options);
  });
