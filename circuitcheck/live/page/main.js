// Joins the rooms of the page: text, findings, drawing, figures.

import { find, fill, make, settled } from "./dom.js";
import { Line } from "./asking.js";
import { Editor } from "./editor.js";
import { Findings } from "./findings.js";
import { Steps } from "./steps.js";
import { Sheet } from "./sheet.js";
import { Here } from "./here.js";
import { Turning } from "./turning.js";
import { Curves } from "./curves.js";
import { Store } from "./store.js";
import { tabs } from "./tabs.js";

const PAUSE = 250;
const known = { look: null, point: null, drawn: null };
let number = 0;

const editor = new Editor(find("editor"), {
  changed: () => { turning.state(); store.state(); lookSoon(); },
  moved: () => turning.moved(),
  save: () => store.save(),
});
const turning = new Turning(editor, { ready, turned, written: () => lookSoon() });
const findings = new Findings(chosenFinding);
const steps = new Steps(() => { askPoint(); askSheet(); });
const sheet = new Sheet({
  pointed: (thing, event) => here.point(thing, event),
  chosen: (thing) => { show.here(); sheet.ring(thing); here.choose(thing); find("card").hidden = true; },
  turned: (to) => { number = to; askSheet(); },
});
const here = new Here({ known: () => known, asked, toText: (place) => toText(place) });
const curves = new Curves(asked);
const show = tabs({ here: "Here", turn: "Turn figures", results: "Results", curves: "Curves" },
  { curves: () => curves.refresh() });
const store = new Store(editor, { opened, followed: (text) => editor.replace(text) });
store.heard.back = lookNow;

// ---- asking ------------------------------------------------------------------------------------

function asked(snapshot = editor.snapshot()) {
  return { name: store.name, text: snapshot.text, step: steps.now };
}

const failed = (problem, what) => {
  document.body.classList.remove("busy");
  store.failed(problem);
  if (what === "sheet") find("sheet-said").textContent = problem.message;
};
const looks = new Line("look", looked, failed);
const points = new Line("point", pointed, failed);
const trials = new Line("trial", tried, failed);
const sheets = new Line("sheet", drawn, failed);
const lookSoon = settled(PAUSE, () => lookNow());

function lookNow() {
  document.body.classList.add("busy");
  const snapshot = editor.snapshot();
  looks.put(asked(snapshot), snapshot);
}

function askPoint() { const snapshot = editor.snapshot(); points.put(asked(snapshot), snapshot); }

function askSheet() {
  if (!known.look?.understood) return;
  find("sheet").setAttribute("aria-busy", "true");
  const snapshot = editor.snapshot();
  const wanted = { positions: find("positions").checked, colours: find("colours").checked, sheet: number };
  sheets.put({ ...asked(snapshot), ...wanted }, snapshot);
}

// ---- answers -----------------------------------------------------------------------------------

function looked(answer, snapshot, last) {
  if (!editor.isCurrent(snapshot)) return;
  if (last) document.body.classList.remove("busy");
  const placed = (one) => ({ ...one, range: editor.range(snapshot, one.place) });
  const found = answer.findings.map(placed);
  editor.diagnose(found.filter((one) => one.range).map((one) => ({
    range: one.range, severity: one.severity,
    message: [one.message, one.remedy].filter(Boolean).join(" – "),
  })));
  findings.show(answer.summary, found);
  editor.follow("findings", found.map(({ range }) => range));
  if (editor.trials.length === 0) turning.show(answer.knobs.map(placed));
  if (!answer.understood) { sheet.outdated(); return; }
  known.look = answer;
  known.snapshot = snapshot;
  find("title").textContent = answer.title || "circuitcheck";
  steps.show(answer.steps);
  curves.show(answer.curves);
  pointed(answer.point, snapshot);
  askSheet();
  curves.refresh();
}

function pointed(point) {
  if (!point) return;
  known.point = point;
  if (point.step !== steps.now) return;
  fill(find("results"), ...results(point));
  here.refresh();
}

function results(point) {
  if (!point.solved) return [make("p", {}, point.message)];
  const claims = (known.look.claims ?? []).filter((one) => !one.step || one.step === point.step);
  const table = (title, rows) => make("table", {}, make("caption", {}, title),
    ...rows.map(([what, figure]) => make("tr", {}, make("th", { scope: "row" }, what), make("td", { class: "figure" }, figure))));
  return [
    table(`Step ${point.step}`, point.usual),
    claims.length ? table("Claims", claims.map((one) => [one.subject, one.verdict])) : null,
  ].filter(Boolean);
}

function tried(point, snapshot, last) {
  const arrived = performance.now();
  if (!point || !snapshot || !editor.isCurrent(snapshot)) return;
  pointed(point);
  if (point.solved) sheet.rewrite(point);
  performance.measure("written", { start: arrived, end: performance.now() });
  performance.measure("turned", { start: snapshot.started, end: performance.now() });
  if (last) lookSoon();
}

function drawn(answer, snapshot, last) {
  if (last) find("sheet").removeAttribute("aria-busy");
  if (!editor.isCurrent(snapshot) || (!last && editor.trials.length)) return;
  number = answer.sheet ?? 0;
  known.drawn = answer.svg ? answer : known.drawn;
  sheet.show(answer);
  if (here.thing) sheet.ring(here.thing);
}

// ---- what people do ----------------------------------------------------------------------------

function turned() {
  lookSoon.cancel();
  looks.forget();
  sheets.forget();
  const snapshot = editor.snapshot();
  snapshot.started = performance.now();
  trials.put(asked(snapshot), snapshot);
}

/** Have the answer ready from which the next ones start. */
function ready() {
  if (editor.trials.length || known.readied === editor.text) return;
  known.readied = editor.text;
  trials.put(asked(), null);
}

function chosenFinding(finding) {
  if (finding.step) steps.choose(finding.step);
  if (finding.part && known.drawn) {
    const stands = sheet.sheetOf(finding.part);
    if (stands !== number) { number = stands; askSheet(); }
    here.choose({ part: finding.part });
    sheet.ring({ part: finding.part });
  }
  if (finding.range) editor.select(finding.range);
}

function toText(place) {
  const range = editor.range(known.snapshot, place);
  if (range) editor.select(range);
}

function opened(got) {
  known.look = known.point = known.drawn = null;
  number = 0;
  fill(find("sheet"));
  here.choose(null);
  editor.open(got.text, got.words);
  lookNow();
}

find("undo").onclick = () => editor.undo();
find("redo").onclick = () => editor.redo();
for (const id of ["colours", "positions"]) find(id).onchange = () => askSheet();
find("light").value = localStorage.getItem("circuitcheck light") ?? "";
find("light").onchange = () => lit(find("light").value);
function lit(how) {
  if (how) document.documentElement.dataset.light = how;
  else delete document.documentElement.dataset.light;
  localStorage.setItem("circuitcheck light", how);
}
lit(find("light").value);
addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key === "s") { event.preventDefault(); store.save(); }
  if (event.key === "Escape") find("card").hidden = true;
});
store.open("");
// for tests, and for those who look into the page with the tools of their browser
Object.assign(window, { editorOfPage: editor, sheetOfPage: sheet, storeOfPage: store });
