// The file: saved on request only, never over a newer one; its changes on the disk are followed.

import { find, fill, make } from "./dom.js";
import { ask, Refused } from "./asking.js";

const LOOK = 1500;

export class Store {
  /** `opened({text, words})` begins anew, `followed(text)` takes a text over from the disk. */
  constructor(editor, { opened, followed }) {
    this.editor = editor;
    this.heard = { opened, followed };
    this.name = "";
    this.mark = "";
    this.saved = "";
    this.newer = "";
    this.lost = false;
    this.notice = find("notice");
    find("save").onclick = () => this.save();
    find("file").onchange = (event) => this.open(event.target.value);
    addEventListener("beforeunload", (event) => { if (this.changed) { this.keep(); event.preventDefault(); } });
    setInterval(() => this.look(), LOOK);
  }

  get changed() { return this.editor.view !== null && this.editor.text !== this.saved; }
  get drawer() { return `circuitcheck ${this.name}`; }

  async open(name) {
    if (this.changed && !confirm("Your changes are not saved. Open the other circuit all the same?")) {
      find("file").value = this.name;
      return;
    }
    let got;
    try {
      got = await ask("open", { name });
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      this.failed(problem);
      return;
    }
    this.name = got.name;
    this.mark = got.mark;
    this.saved = got.text;
    fill(find("file"), ...got.names.map((one) => make("option", { value: one, selected: one === got.name }, one)));
    this.say();
    this.heard.opened(got);
    this.offer();
    this.state();
  }

  /** Say whether there is something to save, and keep it in the browser in case the page is lost. */
  state() {
    find("save").disabled = !this.changed;
    find("undo").disabled = !this.editor.canUndo;
    find("redo").disabled = !this.editor.canRedo;
    find("saved").textContent = this.changed ? "not saved" : "saved";
    document.title = `${this.changed ? "• " : ""}${this.name} – circuitcheck`;
    this.keep();
  }

  keep() {
    if (!this.name) return;
    if (this.changed) localStorage.setItem(this.drawer, this.editor.text);
    else localStorage.removeItem(this.drawer);
  }

  /** Offer a text that was not saved before the page was closed. */
  offer() {
    const kept = localStorage.getItem(this.drawer);
    if (kept === null || kept === this.saved) return;
    this.say("Changes of yours were not saved when this page was left.",
      ["Take them up again", () => this.editor.replace(kept)],
      ["Forget them", () => localStorage.removeItem(this.drawer)]);
  }

  async save(over = this.mark) {
    const text = this.editor.text;
    try {
      const got = await ask("save", { name: this.name, text, over });
      this.mark = got.mark;
      this.saved = text;
      this.newer = "";
      this.say();
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      if (problem.status === 409) this.choose(problem.answer);
      else this.failed(problem);
    }
    this.state();
  }

  /** The disk holds another text than this page believes: the person decides. */
  choose(there) {
    this.newer = there.mark;
    const gone = there.mark === "";
    this.say(
      gone ? "The file is no longer on the disk." : "The file on the disk was changed by somebody else. Nothing was written.",
      ["Save mine over it", () => this.save(there.mark)],
      gone ? null : ["Take theirs (undo brings mine back)", () => this.take(there)],
      ["Leave both for now", () => {}]);
  }

  take({ text, mark }) {
    this.mark = mark;
    this.saved = text;
    this.newer = "";
    this.heard.followed(text);
    this.state();
  }

  /** See whether the file was changed on the disk. */
  async look() {
    if (!this.name || document.hidden) return;
    let mark;
    try {
      ({ mark } = await ask("state", { name: this.name }));
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      this.failed(problem);
      return;
    }
    if (this.lost) { this.lost = false; this.say(); this.heard.back?.(); }
    if (mark === this.mark || mark === this.newer) return;
    if (mark === "") return this.choose({ text: "", mark });
    const got = await ask("open", { name: this.name });
    if (this.changed && got.text !== this.editor.text) return this.choose(got);
    this.take(got);
    this.say("The file was changed on the disk; this is what it holds now.");
  }

  /** Say that something did not work. */
  failed(problem) {
    if (problem.status === 0) {
      this.lost = true;
      this.say("The server does not answer. Your text is kept here; start it again:  circuitcheck live "
        + `${this.name} --port ${location.port}`);
    } else if (problem.status === 401) {
      this.lost = true;
      this.say("The server was started again. Open the address that it printed; your text comes with you.");
    } else {
      this.say(problem.message);
    }
  }

  /** Show a notice with buttons; without words it goes. */
  say(text = "", ...choices) {
    if (this.notice.dataset.said === text) return;
    this.notice.dataset.said = text;
    this.notice.hidden = !text;
    const close = () => this.say();
    fill(this.notice, text, " ",
      ...choices.filter(Boolean).map(([word, act]) => make("button", { onclick: () => { close(); act(); } }, word)),
      make("button", { class: "close", "aria-label": "Close", onclick: close }, "×"));
  }
}
