// The list of findings; choosing one selects its line and its part.

import { find, fill, make, heard } from "./dom.js";

const WORDS = { error: "Error", warning: "Warning", advice: "Advice" };

export class Findings {
  /** `chosen(finding)` is called when a finding is chosen. */
  constructor(chosen) {
    this.place = find("findings");
    this.chosen = chosen;
    this.open = new Set();
  }

  show(summary, findings) {
    find("summary").textContent = `– ${summary}`;
    heard(`Findings: ${summary}.`);
    fill(this.place, ...findings.map((one) => this.row(one)));
    if (!findings.length) this.place.append(make("li", { class: "none" }, "Nothing was found."));
  }

  row(finding) {
    const key = `${finding.slug} ${finding.part} ${finding.step} ${finding.message}`;
    const where = [finding.place ? `line ${finding.place[0] + 1}` : finding.elsewhere, finding.part]
      .filter(Boolean).join(", ");
    const more = [
      finding.remedy && make("p", {}, make("b", {}, "What to do: "), finding.remedy),
      finding.why && make("p", {}, make("b", {}, "Why: "), finding.why),
      finding.source && make("p", { class: "faint" }, `Source: ${finding.source}`),
      ...finding.below.map((one) => make("p", {}, "From it follows: ", one.message)),
    ].filter(Boolean);
    const told = more.length && make("details", {
      open: this.open.has(key),
      ontoggle: (event) => this.open[event.target.open ? "add" : "delete"](key),
    }, make("summary", {}, "more"), ...more);
    return make("li", { class: finding.severity },
      make("button", { class: "finding", onclick: () => this.chosen(finding) },
        make("span", { class: "weight" }, WORDS[finding.severity]), " ",
        finding.message, " ", make("span", { class: "faint" }, where && `(${where})`)),
      told || null);
  }
}
