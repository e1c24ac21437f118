// The text: editing, undo, findings in place, figures that are being tried.

import {
  EditorState, EditorView, Decoration, StateEffect, StateField, Transaction,
  keymap, lineNumbers, highlightActiveLine, highlightActiveLineGutter, drawSelection,
  defaultKeymap, history, historyKeymap, undo, redo, undoDepth, redoDepth,
  lintGutter, setDiagnostics, lintKeymap, searchKeymap,
} from "./vendor/codemirror.js";
import { language, colours } from "./language.js";

const WEIGHTS = { error: "error", warning: "warning", advice: "info" };
const setTried = StateEffect.define();
const tried = StateField.define({
  create: () => Decoration.none,
  update(marks, change) {
    marks = marks.map(change.changes);
    for (const effect of change.effects) if (effect.is(setTried)) marks = effect.value;
    return marks;
  },
  provide: (field) => EditorView.decorations.from(field),
});

/** The editor. `changed(byHand)` is called after each change, `moved()` when the caret moves. */
export class Editor {
  constructor(place, { changed, moved, save }) {
    this.place = place;
    this.heard = { changed, moved, save };
    this.trials = [];
    this.followed = {};
    this.view = null;
  }

  /** Begin anew with a text: its undo history is empty. */
  open(text, words) {
    this.view?.destroy();
    this.trials = [];
    this.followed = {};
    const state = EditorState.create({
      doc: text,
      extensions: [
        lineNumbers(), highlightActiveLine(), highlightActiveLineGutter(), drawSelection(),
        history(), lintGutter(), tried, language(words), colours, EditorView.lineWrapping,
        keymap.of([
          { key: "Mod-s", run: () => (this.heard.save(), true), preventDefault: true },
          ...lintKeymap, ...searchKeymap, ...historyKeymap, ...defaultKeymap,
        ]),
        EditorView.cspNonce.of(document.querySelector("meta[name=nonce]").content),
        EditorView.contentAttributes.of({ "aria-label": "Text of the circuit", spellcheck: "false", tabindex: "0" }),
        EditorView.updateListener.of((update) => this.updated(update)),
      ],
    });
    this.view = new EditorView({ state, parent: this.place });
  }

  updated(update) {
    if (update.docChanged) {
      for (const range of [...this.trials, ...Object.values(this.followed).flat()]) {
        range.from = update.changes.mapPos(range.from, 1);
        range.to = Math.max(range.from, update.changes.mapPos(range.to, -1));
      }
      this.trials = this.trials.filter((one) => one.from < one.to);
      this.heard.changed();
    }
    if (update.selectionSet) this.heard.moved();
  }

  get text() { return this.view.state.doc.toString(); }
  get caret() { return this.view.state.selection.main.head; }

  /** Replace the whole text as one change that can be undone. */
  replace(text) {
    const all = { from: 0, to: this.view.state.doc.length, insert: text };
    this.view.dispatch({ changes: all, annotations: Transaction.userEvent.of("input") });
  }

  // ---- places -----------------------------------------------------------------------------

  /** What is asked about: the text with the figures that are tried, and the way back. */
  snapshot() {
    const doc = this.view.state.doc;
    const changes = this.view.state.changes(
      this.trials.map(({ from, to, text }) => ({ from, to, insert: text })),
    );
    const sent = changes.apply(doc);
    return { doc, text: sent.toString(), sent, back: changes.invertedDesc };
  }

  isCurrent(snapshot) { return snapshot.doc === this.view.state.doc; }

  /** Turn a place of the text that was asked about into offsets of the one that is shown. */
  range(snapshot, place) {
    if (!place) return null;
    const at = (line, column) => {
      const found = snapshot.sent.line(Math.min(line + 1, snapshot.sent.lines));
      return snapshot.back.mapPos(Math.min(found.from + column, found.to), -1);
    };
    const from = at(place[0], place[1]);
    return { from, to: Math.max(from, at(place[2], place[3])) };
  }

  /** Let ranges of one sort move with the text as it is edited. */
  follow(sort, ranges) { this.followed[sort] = ranges.filter(Boolean); }

  /** Select a stretch and show it. */
  select(range, focus = true) {
    const to = Math.min(range.to, this.view.state.doc.length);
    const from = Math.min(range.from, to);
    this.view.dispatch({
      selection: { anchor: from, head: to },
      effects: EditorView.scrollIntoView(from, { y: "center" }),
    });
    if (focus) this.view.focus();
  }

  /** Show findings at their places: [{range, severity, message}]. */
  diagnose(rows) {
    const found = rows.map(({ range, severity, message }) => ({
      from: range.from, to: range.to, severity: WEIGHTS[severity] ?? "info", message,
    }));
    this.view.dispatch(setDiagnostics(this.view.state, found));
  }

  // ---- figures that are tried -----------------------------------------------------------------

  /** Try another figure for a stretch of the text; null takes it back. */
  try({ from, to }, text) {
    this.trials = this.trials.filter((one) => one.from !== from);
    const same = text === null || text === this.view.state.sliceDoc(from, to);
    if (!same) this.trials.push({ from, to, text });
    this.trials.sort((a, b) => a.from - b.from);
    this.mark();
  }

  tried(from) { return this.trials.find((one) => one.from === from)?.text ?? null; }

  mark() {
    const marks = this.trials.map(({ from, to, text }) =>
      Decoration.mark({ class: "tried", attributes: { "data-tried": text } }).range(from, to));
    this.view.dispatch({ effects: setTried.of(Decoration.set(marks)) });
  }

  /** Write the figures that are tried into the text, as one change that can be undone. */
  write() {
    const changes = this.trials.map(({ from, to, text }) => ({ from, to, insert: text }));
    this.trials = [];
    this.view.dispatch({
      changes, effects: setTried.of(Decoration.none),
      annotations: Transaction.userEvent.of("input.figure"),
    });
  }

  drop() { this.trials = []; this.mark(); }

  undo() { undo(this.view); this.view.focus(); }
  redo() { redo(this.view); this.view.focus(); }
  get canUndo() { return undoDepth(this.view.state) > 0; }
  get canRedo() { return redoDepth(this.view.state) > 0; }
}
