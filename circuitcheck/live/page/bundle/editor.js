// What the live page takes from CodeMirror; bundled into one file that needs no network.
export { EditorState, StateEffect, StateField, Transaction } from "@codemirror/state";
export {
  EditorView, Decoration, keymap, lineNumbers, highlightActiveLine, highlightActiveLineGutter,
  drawSelection,
} from "@codemirror/view";
export { defaultKeymap, history, historyKeymap, undo, redo, undoDepth, redoDepth }
  from "@codemirror/commands";
export { StreamLanguage, HighlightStyle, syntaxHighlighting } from "@codemirror/language";
export { lintGutter, setDiagnostics, lintKeymap } from "@codemirror/lint";
export { searchKeymap } from "@codemirror/search";
export { tags } from "@lezer/highlight";
