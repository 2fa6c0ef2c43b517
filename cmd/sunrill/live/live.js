// The page's script: it gathers what was moved, asks the program and shows the
// answer. It reckons nothing.
"use strict";
(() => {
const $ = id => document.getElementById(id);
const shown = $("shown"), sure = $("sure");
const units = document.body.dataset.units;
let settings = new Map();  // key → value, where it differs from the files
let question = "";
let plans = [];            // {name, settings}
const past = [];           // states before, for Undo
let wanted = 0, inFlight = false, stopped = false;
let before = new Map();    // charts of the state before, by title
let lastAsked = "";

// State and address.
const list = () => [...settings].map(([k, v]) => k + "=" + v);
function address() {
  const p = new URLSearchParams();
  p.set("q", question);
  for (const s of list()) p.append("s", s);
  return "#" + p.toString();
}
function readAddress() {
  const p = new URLSearchParams(location.hash.slice(1));
  const first = document.querySelector("[data-question]").dataset.question;
  const q = p.get("q");
  question = q && [...document.querySelectorAll("[data-question]")].some(a => a.dataset.question === q) ? q : first;
  if (q !== null) settings = new Map(p.getAll("s").map(s => { const i = s.indexOf("="); return [s.slice(0, i), s.slice(i + 1)]; }));
}
function remember(push) {
  const to = address();
  if (to === location.hash) return;
  if (push) history.pushState(null, "", to); else history.replaceState(null, "", to);
}

// Fields.
const fields = new Map();
for (const box of document.querySelectorAll(".value")) {
  fields.set(box.dataset.key, {box, text: box.querySelector(".text"), slide: box.querySelector(".slide"), file: box.dataset.text});
}
function put(f, value) {
  f.text.value = value;
  if (f.slide) {
    const n = parseFloat(value), same = value.replace(/^[-+0-9.\s]*/, "").trim() === f.slide.dataset.unit;
    f.slide.hidden = !same;  // it moves in its own unit
    if (!Number.isNaN(n) && same) f.slide.value = n;
  }
}
function showFields() {
  for (const [key, f] of fields) {
    const v = settings.has(key) ? settings.get(key) : f.file;
    if (document.activeElement !== f.text) put(f, v); else if (f.slide && document.activeElement !== f.slide) put(f, f.text.value);
    f.box.classList.toggle("moved", settings.has(key));
  }
  $("undo").disabled = past.length === 0;
  $("reset").disabled = settings.size === 0;
  $("changed").textContent = settings.size === 0 ? "As in the site’s files." : settings.size + (settings.size === 1 ? " value differs" : " values differ") + " from the site’s files.";
}
let lastMoved = "", lastTime = 0;
function move(key, value, start) {
  const now = performance.now();
  if (start || key !== lastMoved || now - lastTime > 1500) {
    past.push(list());
    if (past.length > 100) past.shift();
    holdCharts();
  }
  lastMoved = key; lastTime = now;
  if (value === fields.get(key).file) settings.delete(key); else settings.set(key, value);
  showFields();
  remember(false);
  ask();
  keep();
}
for (const [key, f] of fields) {
  f.text.addEventListener("change", () => { put(f, f.text.value); move(key, f.text.value, true); });
  if (f.slide) f.slide.addEventListener("input", () => {
    f.text.value = f.slide.value + (f.slide.dataset.unit ? " " + f.slide.dataset.unit : "");
    move(key, f.text.value, false);
  });
}
$("values").addEventListener("submit", e => e.preventDefault());
function setAll(all) {
  settings = new Map(all.map(s => { const i = s.indexOf("="); return [s.slice(0, i), s.slice(i + 1)]; }));
  lastMoved = "";
  holdCharts();
  showFields();
  remember(false);
  ask();
  keep();
}
$("undo").addEventListener("click", () => { if (past.length) setAll(past.pop()); });
$("reset").addEventListener("click", () => { past.push(list()); setAll([]); });

// Asking. One question is under way at a time; the last state wins, so that an
// old answer is never shown for a new state.
async function send(path, body, signal) {
  const r = await fetch(path, {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify(body), signal});
  let data;
  try { data = await r.json(); } catch { data = {problems: ["The program did not answer as it should."]}; }
  return {ok: r.ok, data};
}
const link = () => document.querySelector('[data-question="' + CSS.escape(question) + '"]');
function ask(force) {
  wanted++;
  unsure();
  if (stopped) return;
  const slow = link().dataset.slow && !force;
  if (slow && lastAsked.startsWith(question + "\n")) {
    shown.classList.add("old");
    state("This answer is of the state before. ", () => ask(true));
    return;
  }
  if (!inFlight) run(); else if (slowly) slowly.abort();
}
function state(text, again) {
  $("state").textContent = text;
  if (again) {
    const b = document.createElement("button");
    b.type = "button"; b.textContent = "Ask again"; b.addEventListener("click", again);
    $("state").append(b);
  }
}
let slowly = null;  // what lets go of a slow question that is under way
async function run() {
  inFlight = true;
  while (!stopped) {
    const turn = wanted, q = question, s = list(), letGo = new AbortController();
    slowly = link().dataset.slow ? letGo : null;
    if (link().dataset.slow) state("Working… this takes some seconds.");
    else document.body.dataset.working = "yes";
    let answer;
    try {
      answer = q === "compare" ? await send("compare", {Plans: [{name: "now", settings: s}, ...plans], Units: units}, letGo.signal) : await send("ask", {Question: q, Settings: s, Units: units}, letGo.signal);
    } catch {
      if (letGo.signal.aborted) continue;
      state("The program does not answer. Start it again: what you moved is kept in this page’s address.");
      break;
    }
    if (q !== "compare") answer.asked = {Question: q, Settings: s, Units: units};
    if (turn === wanted) {
      lastAsked = answer.ok ? q + "\n" + s.join("\n") : "";
      show(answer);
      if (answer.ok && link().dataset.sure) refine(turn, q, s);
      break;
    }
    if (!answer.ok) continue;
    if (q === question && !link().dataset.slow) show(answer, true);
  }
  inFlight = false;
  slowly = null;
  delete document.body.dataset.working;
}
// How sure an answer is takes longer than the answer: it is asked once the
// values rest, and let go when they move again.
let pause = 0, refining = null;
function surely(text, working) {
  const p = $("refining");
  p.textContent = text;
  if (working) p.dataset.working = "yes"; else delete p.dataset.working;
}
function unsure() {
  clearTimeout(pause);
  if (refining) refining.abort();
  refining = null;
  surely("");
  if (question !== sure.dataset.question) sure.replaceChildren();
  sure.classList.add("old");
  delete document.body.dataset.sure;
}
function refine(turn, q, s) {
  surely("How sure this is, is being worked out…", true);
  pause = setTimeout(async () => {
    const mine = refining = new AbortController();
    let answer;
    try { answer = await send("ask", {Question: q, Settings: s, Units: units, Sure: true}, mine.signal); } catch { return; }
    if (turn !== wanted) return;
    refining = null;
    if (!answer.ok) { surely("How sure this is could not be worked out: " + answer.data.problems.join(" ")); return; }
    surely(answer.data.headline);
    sure.innerHTML = answer.data.html;
    sure.classList.remove("old");
    sure.dataset.question = q;
    document.body.dataset.sure = String(turn);
  }, 300);
}
function show(answer, passing) {
  const problems = $("problems");
  if (!answer.ok) {
    problems.replaceChildren(...answer.data.problems.map(p => { const e = document.createElement("p"); e.textContent = p; return e; }));
    problems.hidden = false;
    shown.classList.add("old");
    state("Shown is the last state that could be run.");
    document.body.dataset.answered = String(wanted);
    return;
  }
  problems.hidden = true;
  shown.classList.remove("old");
  if (!passing) state("");
  const of = answer.asked;
  $("headline").textContent = answer.data.headline;
  $("brief").firstElementChild.textContent = answer.data.headline;
  $("headline").classList.toggle("bad", answer.data.bad);
  shown.innerHTML = answer.data.html;
  for (const fig of shown.querySelectorAll("figure")) {
    const numbers = fig.querySelector("details.numbers");
    if (numbers && !of) numbers.remove(); else if (numbers) numbers.addEventListener("toggle", async () => {
      if (!numbers.open || numbers.querySelector("div")) return;
      const got = await send("numbers", {...of, Figure: fig.dataset.name}).catch(() => ({ok: false, data: {problems: ["The program does not answer."]}}));
      const place = document.createElement("div");
      if (got.ok) place.innerHTML = got.data.html; else place.textContent = got.data.problems.join(" ");
      numbers.append(place);
    });
    const old = before.get(fig.dataset.name);
    if (old && fig.dataset.overlay) {
      const ghost = document.createElement("div");
      ghost.className = "before";
      ghost.setAttribute("aria-hidden", "true");
      ghost.innerHTML = old;
      fig.querySelector(".pair").append(ghost);
    }
  }
  if (!passing) document.body.dataset.answered = String(wanted);
}
// The charts of the state before stay as pale lines behind the new ones.
function holdCharts() {
  before = new Map();
  for (const fig of shown.querySelectorAll("figure")) {
    const svg = fig.querySelector(".pair > svg");
    if (svg) before.set(fig.dataset.name, svg.outerHTML);
  }
}
function showQuestion() {
  for (const a of document.querySelectorAll("[data-question]")) {
    if (a.dataset.question === question) a.setAttribute("aria-current", "page"); else a.removeAttribute("aria-current");
  }
}
for (const a of document.querySelectorAll("[data-question]")) a.addEventListener("click", e => {
  e.preventDefault();
  question = a.dataset.question;
  before = new Map();
  lastAsked = "";
  showQuestion();
  remember(true);
  ask(true);
});
addEventListener("popstate", () => {
  readAddress();
  showQuestion(); showFields(); ask(true);
});

// Units: the page is laid anew, the state stays.
$("units").addEventListener("change", async () => {
  await keepNow();
  const to = new URL(location.href);
  to.search = "units=" + $("units").value;
  location.replace(to);
});

// Plans.
const told = all => all.map(s => s.startsWith("file.") ? s.slice(5, s.indexOf("=")) + " edited" : s).join(", ") || "as in the files";
function showPlans() {
  $("planlist").replaceChildren(...plans.map((p, i) => {
    const li = document.createElement("li"), use = document.createElement("button"), drop = document.createElement("button");
    use.type = drop.type = "button";
    use.textContent = p.name; use.title = told(p.settings);
    use.addEventListener("click", () => { past.push(list()); setAll(p.settings); });
    drop.textContent = "Drop"; drop.setAttribute("aria-label", "Drop the plan " + p.name);
    drop.addEventListener("click", () => { plans.splice(i, 1); showPlans(); keep(); });
    li.append(use, " ", drop, " " + told(p.settings));
    return li;
  }));
  $("keepplan").disabled = plans.length >= 6;
}
$("keepplan").addEventListener("click", () => {
  if (plans.length >= 6) return;
  plans.push({name: $("planname").value.trim() || "plan " + (plans.length + 1), settings: list()});
  $("planname").value = "";
  showPlans(); keep();
  if (question === "compare") ask(true);
});

// Writing, after the difference was seen.
let writeNew = false;
async function offer(isNew) {
  writeNew = isNew;
  const {ok, data} = await send("difference", {Settings: list()});
  $("writing").hidden = false;
  $("newname").hidden = !isNew;
  $("writingwhat").textContent = !ok ? "This cannot be written:" : data.lines.length === 0 ? "Nothing differs from the files." : isNew ? "A copy of the site with these lines changed is written to a new folder:" : "These lines of the site’s files change; the files as they are now are kept beside them:";
  $("difference").replaceChildren(...(ok ? data.lines : data.problems).map(t => { const li = document.createElement("li"); li.textContent = t; return li; }));
  $("reallywrite").disabled = !ok || !isNew && data.lines.length === 0;
  (isNew ? $("folder") : $("reallywrite")).focus();
}
$("write").addEventListener("click", () => offer(false));
$("writenew").addEventListener("click", () => offer(true));
$("nowrite").addEventListener("click", () => { $("writing").hidden = true; });
$("reallywrite").addEventListener("click", async () => {
  const name = $("folder").value.trim();
  if (writeNew && !name) { $("folder").focus(); return; }
  const {ok, data} = await send("write", {Settings: list(), NewFolder: writeNew ? name : ""});
  $("writing").hidden = true;
  if (!ok) { show({ok, data}); return; }
  state(data.wrote);
  if (!writeNew || data.opened) { settings = new Map(); remember(false); await keepNow(); location.reload(); }
});

// Drafts: what was moved and the plans outlive the page and the program.
let keeping = 0;
const keepNow = () => send("keep", {settings: list(), plans}).catch(() => {});
function keep() { clearTimeout(keeping); keeping = setTimeout(keepNow, 300); }

// Data. What is dropped, typed, timed or drawn goes to the program, which
// answers with settings for the state.
async function dataSend(path, body) {
  $("datasaid").textContent = "";
  let answer;
  try { answer = await send(path, body); } catch { answer = {ok: false, data: {problems: ["The program does not answer."]}}; }
  $("dataproblems").hidden = answer.ok;
  if (!answer.ok) $("dataproblems").replaceChildren(...answer.data.problems.map(p => { const e = document.createElement("p"); e.textContent = p; return e; }));
  return answer.ok ? answer.data : null;
}
function takeIn(change, said) {
  past.push(list());
  holdCharts();
  for (const s of change.settings) { const i = s.indexOf("="); settings.set(s.slice(0, i), s.slice(i + 1)); }
  lastMoved = "";
  $("datasaid").textContent = said === undefined ? change.said : said;
  showFields(); remember(false); ask(); keep();
}

$("todata").addEventListener("click", () => { $("data").scrollIntoView(); $("data").focus(); });

let droppedFiles = [], understoodAs = null;
async function understand() {
  if (droppedFiles.length === 0) return;
  $("preview").hidden = true;
  const asked = id => $(id).value.trim();
  const files = await Promise.all(droppedFiles.map(f => new Promise((done, failed) => {
    const r = new FileReader();
    r.onload = () => done({Name: f.name, Data: r.result.slice(r.result.indexOf(",") + 1)});
    r.onerror = () => failed(r.error);
    r.readAsDataURL(f);
  })));
  $("understand").disabled = false;
  understoodAs = await dataSend("import", {Files: files, As: asked("as"), Dates: asked("dates"), Unit: asked("unit"), Decimal: asked("decimal"),
    Unlisted: asked("unlisted"), Column: asked("column"), Sheet: asked("sheetname"), Settings: list()});
  if (!understoodAs) return;
  $("understood").textContent = understoodAs.said;
  $("preview").hidden = false;
  $("takein").focus();
}
$("dropped").addEventListener("change", () => { droppedFiles = [...$("dropped").files]; understand(); });
$("understand").addEventListener("click", understand);
$("takein").addEventListener("click", () => { $("preview").hidden = true; takeIn(understoodAs, "The record is taken in. It is not written into the site yet."); });
$("leave").addEventListener("click", () => { $("preview").hidden = true; droppedFiles = []; $("dropped").value = ""; });
for (const kind of ["dragover", "drop"]) addEventListener(kind, e => {
  e.preventDefault();
  $("drop").classList.toggle("over", kind === "dragover");
  if (kind === "dragover" || !e.dataTransfer.files.length) return;
  $("dropping").open = true;
  droppedFiles = [...e.dataTransfer.files];
  understand();
});

const pageRows = 40;
let sheet = null, from = 0;
function showRows() {
  const last = Math.max(0, sheet.rows.length - 1);
  from = Math.max(0, Math.min(from, last - last % pageRows));
  const head = document.createElement("tr");
  for (const name of ["row", ...sheet.head]) { const th = document.createElement("th"); th.scope = "col"; th.textContent = name; head.append(th); }
  $("cells").tHead.replaceChildren(head);
  $("cells").tBodies[0].replaceChildren(...sheet.rows.slice(from, from + pageRows).map((row, k) => {
    const tr = document.createElement("tr"), th = document.createElement("th"), n = from + k;
    th.scope = "row"; th.textContent = n + 1; tr.append(th);
    sheet.head.forEach((name, c) => {
      const td = document.createElement("td"), cell = document.createElement("input");
      cell.type = "text"; cell.value = row[c] || ""; cell.spellcheck = false;
      cell.setAttribute("aria-label", name + ", row " + (n + 1));
      cell.addEventListener("input", () => { sheet.rows[n][c] = cell.value; });
      cell.addEventListener("paste", e => {
        const text = e.clipboardData.getData("text");
        if (!/[\t\n,;]/.test(text.trim())) return;
        e.preventDefault();
        pasted(n, c, text);
      });
      td.append(cell); tr.append(td);
    });
    return tr;
  }));
  $("pageof").textContent = sheet.rows.length === 0 ? "no rows yet" : "rows " + (from + 1) + " to " + Math.min(from + pageRows, sheet.rows.length) + " of " + sheet.rows.length;
  $("pages").hidden = sheet.rows.length <= pageRows;
}
async function pasted(row, column, text) {
  const came = await dataSend("cells", {Text: text, Head: sheet.head.slice(column)});
  if (!came) return;
  came.rows.forEach((cells, i) => {
    while (sheet.rows.length <= row + i) sheet.rows.push(sheet.head.map(() => ""));
    cells.slice(0, sheet.head.length - column).forEach((v, j) => { sheet.rows[row + i][column + j] = v; });
  });
  showRows();
  $("datasaid").textContent = came.rows.length + " rows pasted. Take the table as edited to see what they do.";
}
function turnTo(row) { from = Math.max(0, row); showRows(); }
$("pagefirst").addEventListener("click", () => turnTo(0));
$("pageback").addEventListener("click", () => turnTo(from - pageRows));
$("pageon").addEventListener("click", () => turnTo(from + pageRows));
$("pagelast").addEventListener("click", () => turnTo(sheet.rows.length));
for (const b of document.querySelectorAll(".opensheet")) b.addEventListener("click", async () => {
  const came = await dataSend("sheet", {Name: b.dataset.sheet, Settings: list()});
  if (!came) return;
  sheet = came;
  $("sheettitle").textContent = b.textContent + ": " + sheet.file;
  $("ready").hidden = sheet.add.length === 0;
  $("readyrow").replaceChildren(...sheet.add.map((a, i) => new Option(a.label, i)));
  $("sheet").hidden = false;
  turnTo(sheet.rows.length);
  $("cells").querySelector("input")?.focus();
});
function addRow(cells) {
  sheet.rows.push(cells);
  turnTo(sheet.rows.length);
  $("cells").querySelector("tbody tr:last-child input").focus();
}
$("addrow").addEventListener("click", () => addRow(sheet.head.map(() => "")));
$("addready").addEventListener("click", () => addRow([...sheet.add[$("readyrow").value].cells]));
$("closesheet").addEventListener("click", () => { $("sheet").hidden = true; });
$("tryrows").addEventListener("click", async () => {
  const change = await dataSend("edit", {Name: sheet.name, Head: sheet.head, Rows: sheet.rows, Settings: list()});
  if (change) takeIn(change);
});

let started = 0, ticking = 0, times = [];
function showTimes() {
  $("times").textContent = times.map(s => s.toFixed(1)).join(", ") || "none yet; take three";
  $("notimes").disabled = times.length === 0;
  $("keepreading").disabled = times.length < 3;
}
$("watch").addEventListener("click", () => {
  const now = performance.now();
  if (started) {
    times.push(Math.round((now - started) / 100) / 10);
    started = 0; clearInterval(ticking);
    $("running").textContent = "";
    $("watch").textContent = "Start";
    showTimes();
    return;
  }
  started = now;
  $("watch").textContent = "Stop: the bucket is full";
  ticking = setInterval(() => { $("running").textContent = ((performance.now() - started) / 1000).toFixed(1) + " s"; }, 100);
});
$("notimes").addEventListener("click", () => { times.pop(); showTimes(); });
$("keepreading").addEventListener("click", async () => {
  const change = await dataSend("reading", {Volume: $("bucket").value, Date: $("readday").value, Seconds: times, Settings: list()});
  if (!change) return;
  times = []; showTimes();
  takeIn(change);
});

$("fit").addEventListener("click", async () => {
  $("fit").disabled = true;
  $("datasaid").textContent = "";
  state("Fitting the creek: this takes some seconds…");
  const change = await dataSend("fit", {Settings: list(), Units: units});
  state("");
  $("fit").disabled = false;
  if (change) takeIn(change);
});

async function hills() {
  const change = await dataSend("hills", {Settings: list()});
  if (change) showHills(change.svg);
}
function showHills(svg) {
  $("hills").innerHTML = svg;
  const pad = $("hills").querySelector("svg");
  let stroke = null, line = null;
  const at = e => { const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(pad.getScreenCTM().inverse()); return [p.x, p.y]; };
  const on = e => {
    if (!stroke) return;
    const p = at(e);
    if (p[0] < 0 || p[0] > 360 || stroke.length >= 4000) return;
    stroke.push(p);
    line.setAttribute("points", stroke.map(q => q.join(",")).join(" "));
  };
  pad.addEventListener("pointerdown", e => {
    e.preventDefault();
    pad.setPointerCapture(e.pointerId);
    stroke = [];
    line = document.createElementNS("http://www.w3.org/2000/svg", "polyline");
    line.setAttribute("class", "stroke");
    pad.append(line);
    on(e);
  });
  pad.addEventListener("pointermove", on);
  pad.addEventListener("pointerup", async () => {
    const drawn = stroke;
    stroke = null;
    if (!drawn || drawn.length === 0) return;
    const change = await dataSend("hills", {Stroke: drawn, Settings: list()});
    if (!change) { line.remove(); return; }
    takeIn(change);
    showHills(change.svg);
  });
}
$("hillsbox").addEventListener("toggle", () => { if ($("hillsbox").open) hills(); });

$("stop").addEventListener("click", async () => {
  await keepNow();
  await send("stop", {}).catch(() => {});
  stopped = true;
  state("The program has stopped. Close this page; what you moved is kept for the next time.");
});

(async () => {
  let draft = null;
  try { draft = await (await fetch("draft")).json(); } catch {}
  if (draft && Array.isArray(draft.plans)) plans = draft.plans.filter(p => p && typeof p.name === "string" && Array.isArray(p.settings)).slice(0, 6);
  const had = location.hash;
  readAddress();
  if (!had && draft && Array.isArray(draft.settings)) settings = new Map(draft.settings.map(s => { const i = s.indexOf("="); return [s.slice(0, i), s.slice(i + 1)]; }));
  $("plans").open = plans.length > 0;
  showPlans(); showQuestion(); showFields(); remember(false);
  ask(true);
})();
})();
