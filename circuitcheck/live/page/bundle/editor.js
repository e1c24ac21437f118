// What the live page takes from CodeMirror; bundled into one file that needs no network.
export { EditorState, Compartment, StateEffect, StateField, Transaction } from "@codemirror/state";
export {
  EditorView, Decoration, keymap, lineNumbers, highlightActiveLine, highlightActiveLineGutter,
  drawSelection, hoverTooltip,
} from "@codemirror/view";
export { defaultKeymap, history, historyKeymap, undo, redo, undoDepth, redoDepth }
  from "@codemirror/commands";
export { StreamLanguage, HighlightStyle, syntaxHighlighting } from "@codemirror/language";
export { lintGutter, setDiagnostics, nextDiagnostic, lintKeymap } from "@codemirror/lint";
export { searchKeymap, highlightSelectionMatches } from "@codemirror/search";
export { tags } from "@lezer/highlight";
