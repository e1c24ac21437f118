// Curves of the circuit, drawn on request.

import { find, fill, make } from "./dom.js";
import { ask, Refused } from "./asking.js";

export class Curves {
  constructor(asked) {
    this.asked = asked;
    this.names = [];
    this.now = "";
    this.choice = make("select", { "aria-label": "Curve", onchange: () => this.draw(this.choice.value) });
    this.picture = make("div", { class: "curve", role: "status" });
    fill(find("curves"), make("div", { class: "bar" }, make("label", {}, "Curve ", this.choice)), this.picture);
  }

  /** Offer the curves that a circuit has. */
  show(names) {
    if (names.join() === this.names.join()) return;
    this.names = names;
    fill(this.choice, make("option", { value: "" }, "choose one"),
      ...names.map((name) => make("option", { value: name, selected: name === this.now }, name)));
    if (!names.includes(this.now)) { this.now = ""; fill(this.picture); }
  }

  /** The figures are others: draw again what is shown. */
  refresh() { if (this.now && !find("curves").hidden) this.draw(this.now); }

  async draw(name) {
    this.now = name;
    if (!name) return fill(this.picture);
    this.picture.classList.add("old");
    let got;
    try {
      got = await ask("curve", { ...this.asked(), curve: name });
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      if (problem.status === 410) return;
      got = { refused: problem.message };
    }
    if (this.now !== name) return;
    this.picture.classList.remove("old");
    if (got.refused) return fill(this.picture, make("p", {}, got.refused));
    const source = URL.createObjectURL(new Blob([got.svg], { type: "image/svg+xml" }));
    const image = make("img", { src: source, alt: `Curve: ${name}; its figures stand below` });
    image.onload = () => URL.revokeObjectURL(source);
    fill(this.picture, image, make("details", {}, make("summary", {}, "figures"), make("pre", {}, got.table)));
  }
}
