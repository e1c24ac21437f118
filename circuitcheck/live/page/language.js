// Colours of the circuit language in the editor.

import { StreamLanguage, HighlightStyle, syntaxHighlighting, tags } from "./vendor/codemirror.js";

const JOINING = new Set(["from", "to", "through", "and", "at", "in", "within", "driven", "by",
  "because", "on", "step", "every", "vary", "show", "with", "without", "over"]);
const NUMBER = /^[+-]?(?:\d+(?:[.,]\d+)?|\.\d+)(?:[eE][+-]?\d+)?(?:[:/x×]\d+(?:\.\d+)?)?/;
const WORD = /^[^\W\d_][\w]*(?:-[a-z][\w]*)*(?:\.\d+)?(?:\/[\w.-]+)*/u;

/** Give the language with the headings that its chapters have. */
export function language(chapters) {
  const headings = new Set(chapters);
  return StreamLanguage.define({
    name: "circuit",
    startState: () => ({ first: true }),
    token(stream, state) {
      if (stream.sol()) state.first = true;
      if (stream.eatSpace()) return null;
      if (stream.peek() === "#") { stream.skipToEnd(); return "comment"; }
      if (stream.match(/^"[^"]*"?/)) { state.first = false; return "string"; }
      const first = state.first;
      state.first = false;
      if (stream.match(WORD)) {
        const word = stream.current();
        if (first && headings.has(word)) return "heading";
        if (JOINING.has(word)) return "keyword";
        return first ? "variableName" : null;
      }
      if (stream.match(NUMBER)) return "number";
      if (stream.match(/^[±?]/)) return "number";
      stream.next();
      return null;
    },
    languageData: { commentTokens: { line: "#" } },
  });
}

export const colours = syntaxHighlighting(HighlightStyle.define([
  { tag: tags.comment, class: "t-comment" },
  { tag: tags.string, class: "t-string" },
  { tag: tags.number, class: "t-number" },
  { tag: tags.keyword, class: "t-keyword" },
  { tag: tags.heading, class: "t-heading" },
  { tag: tags.variableName, class: "t-name" },
]));
