// Colours of the circuit language in the editor.

import { StreamLanguage, HighlightStyle, syntaxHighlighting, tags } from "./vendor/codemirror.js";

const NUMBER = /^[+-]?(?:\d+(?:[.,]\d+)?|\.\d+)(?:[eE][+-]?\d+)?(?:[:/x×]\d+(?:\.\d+)?)?/;
const WORD = /^[^\W\d_][\w]*(?:-[a-z][\w]*)*(?:\.\d+)?(?:\/[\w.-]+)*/u;
const ALONE = /^\w+\s*(?:#.*)?$/;

/** Match any of these words or phrases, the longest first; null where there are none. */
function oneOf(phrases) {
  const longest = [...phrases].sort((a, b) => b.length - a.length);
  return longest.length ? new RegExp(`^(?:${longest.join("|")})(?![\\w-])`) : null;
}

/** Give the language: its headings, and the words that join sentences by chapter. */
export function language({ headings, keywords }) {
  const chapters = new Set(headings);
  const joining = new Map(Object.entries(keywords).map(([at, row]) => [at, oneOf(row)]));
  return StreamLanguage.define({
    name: "circuit",
    startState: () => ({ first: true, chapter: "" }),
    token(stream, state) {
      if (stream.sol()) state.first = true;
      if (stream.eatSpace()) return null;
      if (stream.peek() === "#") { stream.skipToEnd(); return "comment"; }
      if (stream.match(/^"[^"]*"?/)) { state.first = false; return "string"; }
      const first = state.first;
      state.first = false;
      // the chapters of a block are indented, and stand alone on their lines
      const heading = first && (stream.column() === 0 || stream.match(ALONE, false));
      if (!heading && joining.get(state.chapter) && stream.match(joining.get(state.chapter))) {
        return "keyword";
      }
      if (stream.match(WORD)) {
        const word = stream.current();
        if (heading && chapters.has(word)) {
          state.chapter = word;
          return "heading";
        }
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
