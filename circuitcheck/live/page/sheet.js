// The drawing: parts, lines and values that can be pointed at, walked along and written anew.

import { find, fill, make } from "./dom.js";

const SVG = "http://www.w3.org/2000/svg";
const ZOOMS = [1, 1.4, 2, 2.8, 4, 5.6];

export class Sheet {
  /** `pointed(thing, event)`, `chosen(thing)`, `turned(sheet)`; a thing is {part} or {net}. */
  constructor({ pointed, chosen, turned }) {
    this.place = find("sheet");
    this.heard = { pointed, chosen, turned };
    this.drawn = null;
    this.things = [];
    this.at = -1;
    this.zoom = 0;
    find("larger").onclick = () => this.zoomed(this.zoom + 1);
    find("smaller").onclick = () => this.zoomed(this.zoom - 1);
    find("fit").onclick = () => this.zoomed(0);
    find("wide").onclick = () => {
      const wide = document.body.classList.toggle("wide");
      find("wide").setAttribute("aria-pressed", String(wide));
    };
    this.place.addEventListener("keydown", (event) => this.key(event));
    this.place.addEventListener("focus", () => this.walk(Math.max(this.at, 0)));
    this.place.addEventListener("blur", () => this.ring(null));
  }

  /** Show a drawing as the server gave it. */
  show(drawn) {
    this.place.classList.remove("old");
    const said = [drawn.refused, ...(drawn.notices ?? [])].filter(Boolean).join(" ");
    find("sheet-said").textContent = said;
    this.choices(drawn);
    fill(find("scales"), ...(drawn.scales ?? []).map(({ name, ends, colours }) => make("span", { class: "scale" },
      `${name} ${ends[0]} `, ...colours.map((colour) => this.shade(colour)), ` ${ends[1]}`)));
    if (!drawn.svg) return;
    const read = new DOMParser().parseFromString(drawn.svg, "image/svg+xml").documentElement;
    const svg = document.importNode(read, true);
    svg.removeAttribute("width");
    svg.removeAttribute("height");
    svg.setAttribute("aria-hidden", "true");
    const scrolled = [this.place.scrollLeft, this.place.scrollTop];
    fill(this.place, svg);
    this.drawn = drawn;
    this.things = [
      ...Object.entries(drawn.parts).map(([part, id]) => ({ part, id })),
      ...Object.entries(drawn.nets).map(([net, { group }]) => ({ net, id: group })),
    ];
    for (const thing of this.things) this.ready(svg.getElementById(thing.id), thing);
    this.zoomed(this.zoom);
    [this.place.scrollLeft, this.place.scrollTop] = scrolled;
  }

  shade(colour) {
    const made = make("i", { class: "shade" });
    made.style.background = colour;
    return made;
  }

  /** The circuit is not understood: what is shown is that of an older text. */
  outdated() {
    if (!this.drawn) return;
    this.place.classList.add("old");
    find("sheet-said").textContent = "The text is not understood; this is the drawing before.";
  }

  ready(group, thing) {
    if (!group) return;
    for (const title of group.querySelectorAll("title")) title.remove();
    group.classList.add("thing");
    group.dataset.name = thing.part ?? thing.net;
    // what is to be met by a pointer or a finger: more than a thin line
    if (thing.net) {
      for (const line of group.querySelectorAll("polyline, line")) {
        const wide = line.cloneNode();
        for (const name of [...wide.attributes].map((one) => one.name)) {
          if (!["points", "x1", "x2", "y1", "y2"].includes(name)) wide.removeAttribute(name);
        }
        wide.setAttribute("class", "reach");
        group.append(wide);
      }
    } else {
      const box = group.getBBox();
      const area = document.createElementNS(SVG, "rect");
      for (const name of ["x", "y", "width", "height"]) area.setAttribute(name, box[name]);
      area.setAttribute("class", "reach area");
      group.prepend(area);
    }
    group.addEventListener("pointerenter", (event) => this.heard.pointed(thing, event));
    group.addEventListener("pointerleave", () => this.heard.pointed(null));
    group.addEventListener("click", () => { this.at = this.things.indexOf(thing); this.heard.chosen(thing); });
  }

  /** Write other figures beside the ports and instruments, in the drawing that is there. */
  rewrite(point) {
    if (!this.drawn) return;
    const svg = this.place.querySelector("svg");
    for (const [pin, rows] of Object.entries(point.notes)) {
      const texts = svg.getElementById(this.drawn.values[pin])?.querySelectorAll("text") ?? [];
      rows.forEach((row, k) => { if (texts[k] && texts[k].textContent !== row) texts[k].textContent = row; });
    }
    for (const [part, row] of Object.entries(point.readings)) {
      for (const text of svg.getElementById(this.drawn.parts[part])?.querySelectorAll("text") ?? []) {
        if (text.textContent.startsWith("reads ")) text.textContent = row;
      }
    }
  }

  /** Mark a part or a line. */
  ring(thing) {
    for (const group of this.place.querySelectorAll(".ringed")) group.classList.remove("ringed");
    if (!thing) return;
    const known = this.things.find((one) => one.part === thing.part && one.net === thing.net);
    const group = known && this.place.querySelector("svg")?.getElementById(known.id);
    if (!group) return;
    group.classList.add("ringed");
    this.at = this.things.indexOf(known);
    if (this.zoom) group.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  /** The sheet on which a part stands. */
  sheetOf(part) { return this.drawn?.on?.[part] ?? 0; }

  zoomed(step) {
    this.zoom = Math.min(Math.max(step, 0), ZOOMS.length - 1);
    const svg = this.place.querySelector("svg");
    if (!svg) return;
    const size = `${100 * ZOOMS[this.zoom]}%`;
    svg.style.width = size;
    svg.style.height = size;
  }

  choices(drawn) {
    if (drawn.sheets < 2) return fill(find("sheets"));
    const go = (to) => () => this.heard.turned(to);
    fill(find("sheets"),
      make("button", { onclick: go(drawn.sheet - 1), disabled: drawn.sheet === 0, "aria-label": "Sheet before" }, "‹"),
      ` sheet ${drawn.sheet + 1} of ${drawn.sheets} `,
      make("button", { onclick: go(drawn.sheet + 1), disabled: drawn.sheet + 1 >= drawn.sheets, "aria-label": "Sheet behind" }, "›"));
  }

  // ---- keyboard ---------------------------------------------------------------------------

  key(event) {
    const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (way && this.things.length) {
      event.preventDefault();
      this.walk((this.at + way + this.things.length) % this.things.length);
    } else if ((event.key === "Enter" || event.key === " ") && this.things[this.at]) {
      event.preventDefault();
      this.heard.chosen(this.things[this.at]);
    } else if (event.key === "+" || event.key === "-") {
      this.zoomed(this.zoom + (event.key === "+" ? 1 : -1));
    }
  }

  walk(to) {
    this.at = to;
    const thing = this.things[to];
    if (!thing) return;
    this.ring(thing);
    this.heard.pointed(thing);
  }
}
