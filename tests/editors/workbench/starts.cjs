// The extension as it is shipped starts the program that the settings name, and says what to do where it cannot:
// starts.cjs PROGRAM. The editor and the protocol's client are stand-ins.

const assert = require("node:assert");
const { spawn } = require("node:child_process");
const Module = require("node:module");

let program = process.argv[2];
const said = [];
const vscode = {
  window: { showErrorMessage: (message) => said.push(message) },
  workspace: { getConfiguration: () => ({ get: () => program }), createFileSystemWatcher: () => ({}) },
};

/** Greets the program, and knows what it answers. */
class LanguageClient {
  constructor(_id, _name, { command, args }, options) {
    Object.assign(this, { command, args, options });
  }

  start() {
    return new Promise((resolve, reject) => {
      const server = spawn(this.command, this.args, { stdio: ["pipe", "pipe", "inherit"] });
      server.on("error", reject);
      this.greeting = "";
      server.stdout.on("data", (data) => {
        // The head and what it announces may come one after the other.
        this.greeting += data;
        if (this.greeting.includes("}")) {
          server.kill();
          resolve();
        }
      });
      server.on("exit", resolve);
      const greeting = JSON.stringify({ jsonrpc: "2.0", id: 1, method: "initialize", params: { capabilities: {} } });
      server.stdin.on("error", () => {});
      server.stdin.write(`Content-Length: ${greeting.length}\r\n\r\n${greeting}`);
    });
  }
}

const load = Module._load;
const standIns = { vscode, "vscode-languageclient/node": { LanguageClient } };
Module._load = (name, ...rest) => standIns[name] ?? load(name, ...rest);
const { activate } = require("../../../editors/vscode/src/main.js");

async function main() {
  const context = { subscriptions: [] };
  await activate(context);
  const [client] = context.subscriptions;
  assert.match(client.greeting, /"name":"dryfit"/);
  assert.deepEqual(client.options.documentSelector, [{ language: "dryfit" }]);
  assert.deepEqual(said, []);
  program = "/no/such/program";
  await activate(context);
  assert.match(said.join(), /cannot be started; see the setting `dryfit.program`/);
  console.log("extension: starts the program, and says what to do where it cannot");
}

main();
