// What is known of the part or line that is pointed at or chosen, and why it is so.

import { find, fill, make, heard } from "./dom.js";
import { ask, Refused } from "./asking.js";

const DWELL = 350;
const FIRST = ["speed", "flow", "pressure", "torque", "power"];

export class Here {
  /** `known()` gives {look, point, drawn}; `asked()` what a question about the text holds. */
  constructor({ known, asked, toText }) {
    this.place = find("here");
    this.card = find("card");
    this.known = known;
    this.asked = asked;
    this.toText = toText;
    this.thing = null;
    this.timer = 0;
    this.blank();
  }

  blank() {
    fill(this.place, make("p", { class: "faint" },
      "Point at a part or a line of the drawing, or tap it, to see its figures and why they are so."));
  }

  // ---- words --------------------------------------------------------------------------------

  title(thing) {
    const { look, drawn } = this.known();
    if (thing.part) {
      const about = look.parts[thing.part];
      return [thing.part, about?.kind, about?.purpose].filter(Boolean).join(", ");
    }
    const net = drawn.nets[thing.net];
    return net.kind === "shaft" ? "shaft" : `${net.kind} line`;
  }

  /** Rows of a part or line: [what, figure, result that can be asked for or ""]. */
  rows(thing) {
    const { point, drawn } = this.known();
    const port = (part, letter, shown) => {
      const [pressure, flow, way] = point.parts[part]?.ports[letter] ?? [];
      if (pressure === undefined) return [];
      return [[`${shown} pressure`, pressure, `${part} ${letter} pressure`],
        [`${shown} flow`, way ? `${flow} ${way}` : flow, `${part} ${letter} flow`]];
    };
    if (thing.part) {
      const state = point.parts[thing.part];
      if (!state) return [];
      return [
        ...state.values.map(([name, figure]) => [name, figure, `${thing.part} ${name}`]),
        ...Object.keys(state.ports).flatMap((letter) => port(thing.part, letter, letter)),
      ];
    }
    const net = drawn.nets[thing.net];
    const hoses = (drawn.hoses[thing.net] ?? []).flatMap((name) =>
      (point.parts[name]?.values ?? []).map(([what, figure]) => [`${name}: ${what}`, figure, `${name} ${what}`]));
    return [...net.pins.flatMap(([part, letter]) => port(part, letter, `${part} ${letter}`)), ...hoses];
  }

  /** The result of a thing that says most. */
  main(thing) {
    const rows = this.rows(thing);
    const found = FIRST.map((word) => rows.find(([what]) => what === word)).find(Boolean);
    return (found ?? rows.find(([what]) => what.endsWith("pressure")) ?? rows[0])?.[2] ?? "";
  }

  // ---- pointing -----------------------------------------------------------------------------

  /** Show a card beside the pointer; after a moment with the reason. */
  point(thing, event) {
    clearTimeout(this.timer);
    this.card.hidden = true;
    if (!thing || !this.known().point?.solved) return;
    const rows = this.rows(thing);
    if (!event || event.pointerType === "touch") {
      heard(`${this.title(thing)}. ${rows.slice(0, 3).map(([what, figure]) => `${what} ${figure}`).join(", ")}`);
      return;
    }
    const state = thing.part ? this.known().point.parts[thing.part]?.state : "";
    const reason = make("p", { class: "reason" });
    fill(this.card, make("b", {}, this.title(thing)), state ? make("p", {}, state) : null,
      make("table", {}, ...rows.slice(0, 8).map(([what, figure]) =>
        make("tr", {}, make("td", {}, what), make("td", { class: "figure" }, figure)))), reason);
    this.card.hidden = false;
    const wide = this.card.offsetWidth, high = this.card.offsetHeight;
    this.card.style.left = `${Math.max(4, Math.min(event.clientX + 16, innerWidth - wide - 8))}px`;
    this.card.style.top = `${Math.max(4, event.clientY + 20 + high < innerHeight ? event.clientY + 20 : event.clientY - high - 12)}px`;
    this.timer = setTimeout(async () => {
      const found = await this.why(this.main(thing));
      if (!this.card.hidden && reason.isConnected && found) reason.textContent = found.verdict ?? "";
    }, DWELL);
  }

  // ---- choosing -----------------------------------------------------------------------------

  /** Show everything of a part or line in the panel. */
  choose(thing) {
    this.thing = thing;
    this.refresh();
  }

  refresh() {
    const thing = this.thing, { look, point, drawn } = this.known();
    const there = thing && (thing.part ? look?.parts[thing.part] : drawn?.nets[thing.net]);
    if (!there) return this.blank();
    if (!point?.solved) {
      return fill(this.place, make("h3", {}, this.title(thing)), make("p", {}, point?.message ?? ""));
    }
    const place = thing.part && look.parts[thing.part].place;
    const answer = make("div", { class: "why", "aria-live": "polite" });
    const state = thing.part ? point.parts[thing.part]?.state : drawn.nets[thing.net].label;
    fill(this.place,
      make("h3", {}, this.title(thing), " ",
        place ? make("button", { class: "small", onclick: () => this.toText(place) }, `line ${place[0] + 1}`) : null),
      state ? make("p", {}, state) : null,
      make("table", {}, make("caption", { class: "unseen" }, `Figures in step ${point.step}`),
        ...this.rows(thing).map(([what, figure, result]) => make("tr", {},
          make("th", { scope: "row" }, what), make("td", { class: "figure" }, figure),
          make("td", {}, make("button", {
            class: "small", "aria-label": `Why is ${result} ${figure}?`,
            onclick: () => this.explain(result, answer),
          }, "why?"))))),
      answer);
  }

  async explain(result, answer) {
    fill(answer, make("p", { class: "faint" }, "working it out ..."));
    const found = await this.why(result);
    if (!found) return fill(answer);
    fill(answer, make("h3", {}, `Why ${result}?`), make("pre", {}, found.text ?? found.refused));
    answer.scrollIntoView({ block: "nearest" });
  }

  async why(result) {
    if (!result) return null;
    try {
      return await ask("why", { ...this.asked(), result });
    } catch (problem) {
      if (problem instanceof Refused) return { refused: problem.message };
      throw problem;
    }
  }
}
