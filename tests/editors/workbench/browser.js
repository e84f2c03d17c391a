// The extension in the browser's workbench, where no program can be started: the same client over a socket to one.

const { BrowserMessageReader, BrowserMessageWriter, LanguageClient } = require("vscode-languageclient/browser");
const { languages, window, workspace } = require("vscode");
const { serve } = require("../../../editors/vscode/src/serve.js");

/** A socket as the port that the client talks to. */
function port(socket) {
  const listeners = [];
  socket.onmessage = (event) => listeners.forEach((listener) => listener({ data: JSON.parse(event.data) }));
  return {
    postMessage: (message) => socket.send(JSON.stringify(message)),
    addEventListener: (kind, listener) => kind === "message" && listeners.push(listener),
    set onmessage(listener) {
      listeners.push(listener);
    },
  };
}

exports.activate = async (context) => {
  await serve(context, (options) => {
    const transports = () =>
      new Promise((resolve) => {
        const socket = new WebSocket(SOCKET);
        socket.onopen = () => {
          const both = port(socket);
          resolve({ reader: new BrowserMessageReader(both), writer: new BrowserMessageWriter(both) });
        };
      });
    return new LanguageClient("dryfit", "Part sheets", transports, options);
  });
  const document = await workspace.openTextDocument({ language: "dryfit", content: SHEET });
  await window.showTextDocument(document);
};
