// The light table's page: it asks for the plates in sight whenever a distance or the window changes, has them drawn
// (view.js), and keeps the panel. The state that matters is kept in the address behind the #.
"use strict";

const ROOM = 0.1; // plates are asked for this far around what is in sight, as a share of it
const CLOSE = 20; // mm: no more is shown around the place of a remark

let asking = false;
let askAgain = false;

// ---- asking for plates: one request at a time, always for the newest state

async function refresh() {
  if (asking) { askAgain = true; return; }
  asking = true;
  do {
    askAgain = false;
    await ask();
  } while (askAgain);
  asking = false;
}

async function answerTo(question) {
  const window = roomier(state.window).map((mm) => mm.toFixed(4)).join(",");
  try {
    return await (await fetch(`${question}?${new URLSearchParams({ window, ...state.moved })}`)).json();
  } catch {
    return { problems: ["vectorsep is no longer running: start it again and open the address that it prints"] };
  }
}

async function ask() {
  const started = performance.now();
  view.classList.add("stale");
  const answer = await answerTo("look");
  if (answer.problems) {
    tell(answer.problems.join("\n"), true);
    return;
  }
  state.looked = { ...answer, moved: JSON.stringify(state.moved) };
  view.classList.remove("stale");
  showDistances(answer.distances);
  drawPlates();
  const took = Math.round(performance.now() - started);
  tell(answer.plates.length ? `Plates in sight made in ${took} ms` : "No art in sight");
}

function roomier([left, top, right, bottom]) {
  const across = ROOM * (right - left), down = ROOM * (bottom - top);
  return [left - across, top - down, right + across, bottom + down];
}

function isShown() { // whether the plates at hand are those of what is in sight
  const looked = state.looked;
  if (!looked || looked.moved !== JSON.stringify(state.moved)) return false;
  const [left, top, right, bottom] = state.window, [l, t, r, b] = looked.window;
  return l <= left && t <= top && right <= r && bottom <= b && r - l < 4 * (right - left);
}

function tell(text, isProblem = false) {
  byId("told").textContent = text;
  byId("told").classList.toggle("problem", isProblem);
  document.body.dataset.state = isProblem ? "problem" : "shown";
}

// ---- the panel

function listPlates() {
  const list = byId("plates"), slipping = byId("slipping"), chosen = slipping.value;
  list.replaceChildren();
  slipping.replaceChildren(new Option("all above the blocker", ""));
  state.looked.plates.forEach((plate, i) => {
    const label = document.createElement("label"), box = document.createElement("input"), name = document.createElement("bdi");
    const swatch = element("svg", { viewBox: "0 0 1 1", "aria-hidden": "true" });
    element("rect", { width: 1, height: 1, fill: plate.hex }, swatch);
    Object.assign(box, { type: "checkbox", checked: !state.hidden.has(plate.name) });
    box.addEventListener("change", () => { state.hidden[box.checked ? "delete" : "add"](plate.name); place(); });
    name.textContent = plate.name;
    label.append(box, swatch, name);
    list.append(document.createElement("li"));
    list.lastChild.append(label);
    if (i) slipping.append(new Option(plate.name, plate.name));
  });
  if ([...slipping.options].some((option) => option.value === chosen)) slipping.value = chosen;
}

function showDistances(distances) {
  for (const [key, mm] of Object.entries(distances)) {
    for (const input of document.querySelectorAll(`[data-key="${key}"]`)) {
      if (input !== document.activeElement || input.type === "range") input.value = mm;
      input.closest(".distance").classList.toggle("moved", key in state.moved);
    }
  }
  showJob();
}

async function check() {
  showVerdict("Making and checking the films\u2026");
  const asked = JSON.stringify(state.moved), answer = await answerTo("check");
  if (asked !== JSON.stringify(state.moved)) return; // moved on meanwhile
  if (answer.problems) showVerdict("Not checked.", answer.problems.map((message) => ({ message })));
  else showVerdict(`${answer.verdict}, ${answer.screens}`, answer.remarks, !answer.safe);
}

function showVerdict(text, remarks = [], isUnsafe = false) {
  byId("verdict").textContent = text;
  byId("verdict").classList.toggle("unsafe", isUnsafe);
  byId("remarks").replaceChildren(...remarks.map(listed));
}

function listed({ severity, plate, message, at, others }) {
  const item = document.createElement("li");
  item.textContent = [severity, plate, message].filter(Boolean).join(": ") + (others ? ` (${others})` : "");
  if (!at) return item;
  const place = document.createElement("button");
  place.textContent = `at ${at.map((mm) => mm.toFixed(2)).join(", ")} mm`;
  place.addEventListener("click", () => lookAt(...at, CLOSE));
  item.prepend(place);
  return item;
}

function showJob() {
  const sections = {};
  for (const [key, mm] of Object.entries(state.moved)) {
    const [section, name] = key.split(".");
    (sections[section] ??= []).push(`${name} = "${mm}mm"`);
  }
  const text = Object.entries(sections).map(([section, lines]) => `[${section}]\n${lines.join("\n")}`).join("\n\n");
  byId("job").textContent = text || "Nothing moved.";
}

function moveDistance({ target }) {
  if (!target.dataset.key || target.validity.badInput) return;
  if (target.value === "") delete state.moved[target.dataset.key]; // as in the job
  else state.moved[target.dataset.key] = target.value;
  move();
}

function move() { // what was checked were other distances
  showVerdict("Not checked.");
  refresh();
}

async function copyJob() {
  await navigator.clipboard.writeText(byId("job").textContent);
  byId("copy").textContent = "Copied";
  setTimeout(() => { byId("copy").textContent = "Copy"; }, 1500);
}

function remember() {
  const mm = state.window.map((edge) => edge.toFixed(3)).join(",");
  history.replaceState(null, "", `#${new URLSearchParams({ window: mm, ...state.moved })}`);
}

function recall(first) {
  const { window, ...moved } = Object.fromEntries(new URLSearchParams(location.hash.slice(1)));
  const edges = (window ?? "").split(",").map(Number);
  state.moved = moved;
  const sound = edges.length === 4 && edges.every(Number.isFinite) && edges[0] < edges[2] && edges[1] < edges[3];
  state.window = shaped(sound ? edges : first);
}

// ---- what the user does

function listen() {
  byId("distances").addEventListener("input", moveDistance);
  byId("reset").addEventListener("click", () => { state.moved = {}; move(); });
  byId("check").addEventListener("click", check);
  byId("copy").addEventListener("click", copyJob);
  byId("map").addEventListener("click", (event) => lookAt(...pointOnMap(event)));
  byId("place").addEventListener("submit", (event) => {
    event.preventDefault();
    const [x, y] = byId("at").value.split(/[\s,;]+/).filter(Boolean).map(Number);
    if (Number.isFinite(x) && Number.isFinite(y)) lookAt(x, y);
    else tell("Write a place as two numbers, such as 23.4, 55.1", true);
  });
  for (const id of ["edges", "slipping", "by", "towards"]) byId(id).addEventListener("input", place);
  for (const form of document.forms) form.addEventListener("submit", (event) => event.preventDefault());
  byId("nearer").addEventListener("click", () => zoom(1 / NEARER, middle()));
  byId("farther").addEventListener("click", () => zoom(NEARER, middle()));
  view.addEventListener("pointerdown", drag);
  view.addEventListener("wheel", wheel, { passive: false });
  view.addEventListener("pointermove", (event) => { if (!event.buttons) tellPlace(pointAt(event)); });
  view.addEventListener("keydown", steer);
  window.addEventListener("resize", () => look(shaped(state.window)));
}

async function start() {
  const map = await (await fetch("map")).json();
  state.cloth = map.cloth;
  drawMap(map);
  recall(map.first);
  listen();
  refresh();
}

start();
