// What is the same wherever the server runs: which texts it serves, and what it is told of.

const { window, workspace } = require("vscode");

const PLACE = "see the setting `dryfit.program`, or put `dryfit` on the path";

/** Starts a client that is made with the given options; it ends with the extension. */
exports.serve = async (context, made) => {
  const client = made({
    documentSelector: [{ language: "dryfit" }],
    synchronize: { fileEvents: workspace.createFileSystemWatcher("**/*.{dryfit,yaml}") },
  });
  context.subscriptions.push(client);
  try {
    await client.start();
  } catch (error) {
    window.showErrorMessage(`Part sheets are not checked: the program cannot be started; ${PLACE}. (${error.message})`);
  }
};
