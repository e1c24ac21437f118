// The steps of the cycle, one of which is shown.

import { find, fill, make } from "./dom.js";

export class Steps {
  /** `chosen(name)` is called when another step is chosen. */
  constructor(chosen) {
    this.place = find("steps");
    this.chosen = chosen;
    this.names = [];
    this.now = "";
    this.place.addEventListener("keydown", (event) => this.key(event));
  }

  show(steps) {
    this.names = steps.map((one) => one.name);
    if (!this.names.includes(this.now)) this.now = this.names[0] ?? "";
    fill(this.place, ...steps.map((one) => make("button", {
      role: "radio", "aria-checked": String(one.name === this.now),
      tabindex: one.name === this.now ? 0 : -1,
      class: one.solved ? "" : "unsolved",
      title: one.solved ? null : "no steady point was found",
      onclick: () => this.choose(one.name),
    }, one.name)));
  }

  choose(name) {
    if (name === this.now || !this.names.includes(name)) return;
    this.now = name;
    for (const button of this.place.children) {
      const on = button.textContent === name;
      button.setAttribute("aria-checked", String(on));
      button.tabIndex = on ? 0 : -1;
    }
    this.chosen(name);
  }

  key(event) {
    const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!way) return;
    event.preventDefault();
    const many = this.names.length;
    this.choose(this.names[(this.names.indexOf(this.now) + way + many) % many]);
    this.place.querySelector("[aria-checked=true]")?.focus();
  }
}
