// Starts `circuitcheck lsp` for circuit texts and ends it with the editor.
"use strict";

const vscode = require("vscode");
const { LanguageClient, TransportKind } = require("vscode-languageclient/node");

let client;

async function activate(context) {
  const command = vscode.workspace.getConfiguration("circuitcheck").get("command");
  const watcher = vscode.workspace.createFileSystemWatcher("**/*.{hyc,toml,csv}");
  context.subscriptions.push(watcher);
  client = new LanguageClient(
    "circuitcheck",
    "circuitcheck",
    { command, args: ["lsp"], transport: TransportKind.stdio },
    {
      documentSelector: [{ language: "hyc" }],
      synchronize: { fileEvents: watcher },
    }
  );
  try {
    await client.start();
  } catch (error) {
    vscode.window.showErrorMessage(
      `'${command} lsp' could not be started (${error.message}). ` +
        "Install it with: pip install 'circuitcheck[editor]'"
    );
  }
}

function deactivate() {
  return client && client.isRunning() ? client.stop() : undefined;
}

module.exports = { activate, deactivate };
