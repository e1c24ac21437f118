// Sliders for the figures of the text: what is turned is tried at once, and written when wished.

import { find, fill, make } from "./dom.js";

const MOST = 60;

/** Write a number with the decimals of its step. */
export function written(value, step) {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return String(Number(value.toFixed(Math.min(decimals, 12))));
}

export class Turning {
  /** `ready()` is called before a figure is turned, `turned()` at each turn, `written()` when
      figures went into the text. */
  constructor(editor, { ready, turned, written }) {
    this.editor = editor;
    this.heard = { ready, turned, written };
    this.knobs = [];
    this.rows = new Map();
    this.filter = make("input", {
      type: "search", placeholder: "find a figure: R1 set", "aria-label": "Find a figure",
      oninput: () => this.list(),
    });
    this.write = make("button", { onclick: () => { editor.write(); this.state(); this.heard.written(); } },
      "Write into the text");
    this.drop = make("button", { onclick: () => { editor.drop(); this.list(); this.heard.turned(); } },
      "Back to the text");
    this.said = make("span", { class: "faint", role: "status" });
    this.place = make("div", { class: "knobs" });
    fill(find("turn"), make("div", { class: "bar" }, this.filter, this.write, this.drop, this.said), this.place);
    this.state();
  }

  /** Take the figures of the text: [{range, name, value, ...}]. */
  show(knobs) {
    this.knobs = knobs;
    this.editor.follow("knobs", knobs.map(({ range }) => range));
    if (!this.place.contains(document.activeElement)) this.list();
  }

  /** The caret is elsewhere: the figure there comes first. */
  moved() {
    if (!this.place.contains(document.activeElement)) this.list();
  }

  list() {
    const words = this.filter.value.toLowerCase().split(/\s+/).filter(Boolean);
    const caret = this.editor.caret;
    const line = this.editor.view.state.doc.lineAt(caret);
    const rank = ({ range }) => (range.from <= caret && caret <= range.to ? 0
      : this.editor.tried(range.from) !== null ? 1 : line.from <= range.from && range.to <= line.to ? 2 : 3);
    const fitting = this.knobs.filter(({ name, unit }) =>
      words.every((word) => `${name} ${unit}`.toLowerCase().includes(word)));
    const sorted = fitting.map((knob) => [rank(knob), knob]).sort((a, b) => a[0] - b[0]);
    this.rows.clear();
    fill(this.place, ...sorted.slice(0, MOST).map(([place, knob]) => this.row(knob, place === 0)));
    if (fitting.length > MOST) {
      this.place.append(make("p", { class: "faint" }, `and ${fitting.length - MOST} more: find them by name`));
    }
    this.state();
  }

  row(knob, here) {
    const now = this.editor.tried(knob.range.from);
    const value = now === null ? knob.value : Number(now);
    const about = { min: knob.least, max: knob.most, step: "any", "aria-label": `${knob.name}, ${knob.unit}` };
    const slider = make("input", { type: "range", ...about, value,
      oninput: () => this.turn(knob, this.stepped(knob, slider.valueAsNumber)),
      onkeydown: (event) => this.key(event, knob) });
    const figure = make("input", { type: "number", step: "any", "aria-label": about["aria-label"], value,
      onchange: () => Number.isFinite(figure.valueAsNumber) && this.turn(knob, figure.valueAsNumber) });
    slider.value = value;
    const row = make("div", { class: here ? "knob here" : "knob", "data-name": knob.name,
      onfocusin: () => this.heard.ready() },
      make("button", { class: "name", title: "show it in the text", onclick: () => this.editor.select(knob.range) }, knob.name),
      slider, figure, make("span", { class: "unit" }, knob.unit));
    row.classList.toggle("turned", now !== null);
    this.rows.set(knob, { row, slider, figure });
    return row;
  }

  stepped(knob, value) {
    return value <= knob.least || value >= knob.most ? value : Math.round(value / knob.step) * knob.step;
  }

  key(event, knob) {
    const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (!way) return;
    event.preventDefault();
    const now = Number(this.editor.tried(knob.range.from) ?? knob.value);
    this.turn(knob, Math.min(knob.most, Math.max(knob.least, now + way * knob.step)));
  }

  turn(knob, value) {
    const text = written(value, knob.step);
    const back = Number(text) === knob.value;
    this.editor.try(knob.range, back ? null : text);
    const { row, slider, figure } = this.rows.get(knob);
    if (document.activeElement !== slider || slider.valueAsNumber !== value) slider.value = text;
    figure.value = text;
    row.classList.toggle("turned", !back);
    this.state();
    this.heard.turned();
  }

  state() {
    const many = this.editor.trials.length;
    this.write.disabled = this.drop.disabled = !many;
    this.said.textContent = many ? `${many === 1 ? "one figure is" : `${many} figures are`} tried; the text is as it was` : "";
  }
}
