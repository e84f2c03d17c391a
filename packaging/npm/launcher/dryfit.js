#!/usr/bin/env node
// Runs the program that the package for this platform carries: nothing is fetched or built when the package is installed.
"use strict";

const { spawn } = require("node:child_process");
const { constants } = require("node:os");

const TROUBLE = 2;

function fail(why) {
  console.error(`dryfit: ${why}`);
  process.exit(TROUBLE);
}

function program() {
  const platform = `${process.platform}-${process.arch}`;
  try {
    return require.resolve(`@dryfit/${platform}/bin/dryfit`);
  } catch {
    return fail(
      `there is no program for ${platform} here: the package @dryfit/${platform} is not installed, ` +
        "or there is none for this platform; `cargo install --locked --path .` in a copy of the source builds it"
    );
  }
}

const child = spawn(program(), process.argv.slice(2), { stdio: "inherit" });
// A terminal sends these to both; whoever ends only this process must end the program too.
for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"]) {
  process.on(signal, () => child.kill(signal));
}
child.on("error", (error) => fail(`the program cannot be started: ${error.message}`));
child.on("exit", (code, signal) => process.exit(signal ? 128 + constants.signals[signal] : code));
