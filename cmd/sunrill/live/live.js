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
  if (!inFlight) run();
}
function state(text, again) {
  $("state").textContent = text;
  if (again) {
    const b = document.createElement("button");
    b.type = "button"; b.textContent = "Ask again"; b.addEventListener("click", again);
    $("state").append(b);
  }
}
async function run() {
  inFlight = true;
  while (!stopped) {
    const turn = wanted, q = question, s = list();
    if (link().dataset.slow) state("Working… this takes some seconds.");
    else document.body.dataset.working = "yes";
    let answer;
    try {
      answer = q === "compare" ? await send("compare", {Plans: [{name: "now", settings: s}, ...plans], Units: units}) : await send("ask", {Question: q, Settings: s, Units: units});
    } catch {
      state("The program does not answer. Start it again: what you moved is kept in this page’s address.");
      break;
    }
    if (turn === wanted) {
      lastAsked = q + "\n" + s.join("\n");
      show(answer);
      if (answer.ok && link().dataset.sure) refine(turn, q, s);
      break;
    }
    if (!answer.ok) continue;
    if (q === question && !link().dataset.slow) show(answer, true);
  }
  inFlight = false;
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
  $("headline").textContent = answer.data.headline;
  $("brief").firstElementChild.textContent = answer.data.headline;
  $("headline").classList.toggle("bad", answer.data.bad);
  shown.innerHTML = answer.data.html;
  for (const fig of shown.querySelectorAll("figure")) {
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
function showPlans() {
  $("planlist").replaceChildren(...plans.map((p, i) => {
    const li = document.createElement("li"), use = document.createElement("button"), drop = document.createElement("button");
    use.type = drop.type = "button";
    use.textContent = p.name; use.title = p.settings.join(", ") || "as in the files";
    use.addEventListener("click", () => { past.push(list()); setAll(p.settings); });
    drop.textContent = "Drop"; drop.setAttribute("aria-label", "Drop the plan " + p.name);
    drop.addEventListener("click", () => { plans.splice(i, 1); showPlans(); keep(); });
    li.append(use, " ", drop, " " + (p.settings.length ? p.settings.join(", ") : "as in the files"));
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
  if (!writeNew) { settings = new Map(); remember(false); await keepNow(); location.reload(); }
});

// Drafts: what was moved and the plans outlive the page and the program.
let keeping = 0;
const keepNow = () => send("keep", {settings: list(), plans}).catch(() => {});
function keep() { clearTimeout(keeping); keeping = setTimeout(keepNow, 300); }

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
  showPlans(); showQuestion(); showFields(); remember(false);
  ask(true);
})();
})();
