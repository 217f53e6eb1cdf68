// The light table's page: it asks for the plates in sight whenever a distance or the window changes, has them drawn
// (view.js) or checked (check.js), and keeps the panel. The state that matters is kept in the address behind the #.
"use strict";

const ROOM = 0.1; // plates are asked for this far around what is in sight, as a share of it
const SLOW = 250; // ms: what is seen is called old only when a look takes this long, or the page would flicker
const SETTLED = 300; // ms: browsers refuse an address that changes at every move of the pointer
const FARTHEST_PLACE = 10000; // mm
const NOTHING_MOVED = "Nothing moved.";

let asking = false;
let askAgain = false;
let settling = 0;

// ---- asking for plates: one request at a time, always for the newest state

async function refresh() {
  if (asking) { askAgain = true; return; }
  asking = true;
  try {
    do {
      askAgain = false;
      await ask();
    } while (askAgain);
  } finally {
    asking = false;
  }
}

async function answerTo(question, parameters = {}, signal = null) {
  try {
    return await (await fetch(`${question}?${new URLSearchParams(parameters)}`, { signal })).json();
  } catch {
    return { problems: ["vectorsep is no longer running: start it again and open the address that it prints"] };
  }
}

function wanted() {
  return { window: roomier(state.window).map((mm) => mm.toFixed(4)).join(","), ...state.moved };
}

async function ask() {
  const started = performance.now(), moved = JSON.stringify(state.moved);
  const slow = setTimeout(() => { view.classList.add("stale"); tell("Making the plates\u2026"); }, SLOW);
  const answer = await answerTo("look", wanted());
  clearTimeout(slow);
  view.classList.toggle("stale", "problems" in answer);
  if (answer.problems) {
    showDistances();
    showJob("None until the plates can be made.");
    tell(answer.problems.join("\n"), true);
    return;
  }
  state.looked = { ...answer, moved };
  showDistances();
  showJob(jobLines() || NOTHING_MOVED);
  listPlates();
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
  const plates = state.looked.plates, listed = JSON.stringify(plates.map(({ name, hex }) => [name, hex]));
  if (byId("plates").dataset.listed === listed) return; // a new list would take the keyboard away from the old one
  byId("plates").dataset.listed = listed;
  byId("plates").replaceChildren(...plates.map(listedPlate));
  const above = plates.filter((plate) => plate.role !== "blocker").map((plate) => plate.name);
  const names = new Set(state.slipping ? [...above, state.slipping] : above); // out of sight, it is still out of register
  byId("slipping").replaceChildren(new Option("all above the blocker", ""), ...[...names].map((name) => new Option(name, name)));
  byId("slipping").value = state.slipping;
}

function listedPlate(plate) {
  const item = document.createElement("li"), label = document.createElement("label");
  const box = document.createElement("input"), name = document.createElement("bdi");
  const swatch = element("svg", { viewBox: "0 0 1 1", "aria-hidden": "true" });
  element("rect", { width: 1, height: 1, fill: plate.hex }, swatch);
  Object.assign(box, { type: "checkbox", checked: !state.hidden.has(plate.name) });
  box.addEventListener("change", () => { state.hidden[box.checked ? "delete" : "add"](plate.name); place(); });
  name.textContent = plate.name;
  label.append(box, swatch, name);
  item.append(label);
  return item;
}

function showDistances() { // as they were moved; all others as the plates were made, a switch as in the job
  for (const input of distanceFields()) {
    const { key } = input.dataset, made = state.looked?.distances[key];
    if (input.type === "range" && made > input.max) input.max = made;
    if (input !== document.activeElement || input.type === "range") input.value = state.moved[key] ?? made ?? input.defaultValue ?? "";
    input.closest(".distance").classList.toggle("moved", key in state.moved);
  }
}

function distanceFields() {
  return document.querySelectorAll("[data-key]");
}

function jobLines() {
  const sections = {};
  for (const key of Object.keys(state.moved)) {
    const [section, name] = key.split(".");
    const mm = state.looked.distances[key];
    (sections[section] ??= []).push(`${name} = ${mm === undefined ? state.moved[key] : `"${mm}mm"`}`);
  }
  return Object.entries(sections).map(([section, lines]) => `[${section}]\n${lines.join("\n")}`).join("\n\n");
}

function showJob(text) {
  byId("job").textContent = text;
  byId("copy").disabled = !text.startsWith("[");
}

function moveDistance({ target }) {
  if (!target.dataset.key || target.validity.badInput) return;
  if (target.value === "") delete state.moved[target.dataset.key]; // as in the job
  else state.moved[target.dataset.key] = target.value;
  move();
}

function move() { // what was checked were other distances
  showDistances();
  callOff();
  refresh();
}

async function copyJob() {
  try {
    await navigator.clipboard.writeText(byId("job").textContent);
    byId("copy").textContent = "Copied";
  } catch { // the browser keeps its clipboard to itself
    getSelection().selectAllChildren(byId("job"));
    byId("copy").textContent = "Marked: copy it by hand";
  }
  setTimeout(() => { byId("copy").textContent = "Copy"; }, 1500);
}

function remember() {
  clearTimeout(settling);
  settling = setTimeout(() => {
    const mm = state.window.map((edge) => edge.toFixed(3)).join(",");
    history.replaceState(null, "", `#${new URLSearchParams({ window: mm, ...state.moved })}`);
  }, SETTLED);
}

function recall(first) {
  const held = new URLSearchParams(location.hash.slice(1));
  const keys = [...new Set([...distanceFields()].map((input) => input.dataset.key))];
  const isSound = (key) => held.get(key) && (Number.isFinite(Number(held.get(key))) || ["true", "false"].includes(held.get(key)));
  state.moved = Object.fromEntries(keys.filter(isSound).map((key) => [key, held.get(key)]));
  const edges = (held.get("window") ?? "").split(",").map(Number);
  const sound = edges.length === 4 && edges.every(isPlace) && edges[0] < edges[2] && edges[1] < edges[3];
  state.window = shaped(sound ? edges : first);
}

function isPlace(mm) {
  return Math.abs(mm) <= FARTHEST_PLACE;
}

// ---- what the user does

function listen() {
  byId("distances").addEventListener("input", moveDistance);
  byId("reset").addEventListener("click", () => { state.moved = {}; move(); });
  byId("check").addEventListener("click", check);
  byId("call-off").addEventListener("click", callOff);
  byId("copy").addEventListener("click", copyJob);
  byId("map").addEventListener("click", (event) => lookAt(...pointOnMap(event)));
  byId("place").addEventListener("submit", lookAtPlace);
  byId("slipping").addEventListener("input", () => { state.slipping = byId("slipping").value; });
  for (const id of ["edges", "slipping", "by", "towards"]) byId(id).addEventListener("input", place);
  for (const form of document.forms) form.addEventListener("submit", (event) => event.preventDefault());
  byId("nearer").addEventListener("click", () => zoom(1 / NEARER, middle()));
  byId("farther").addEventListener("click", () => zoom(NEARER, middle()));
  view.addEventListener("pointerdown", drag);
  view.addEventListener("wheel", wheel, { passive: false });
  view.addEventListener("pointermove", (event) => { if (!event.buttons) tellPlace(pointAt(event)); });
  view.addEventListener("keydown", steer);
  window.addEventListener("resize", () => look(reshaped(state.window)));
}

function lookAtPlace(event) {
  event.preventDefault();
  const numbers = (byId("at").value.match(/[-+]?(\d+\.?\d*|\.\d+)/g) ?? []).map(Number);
  if (numbers.length === 2 && numbers.every(isPlace)) lookAt(...numbers);
  else tell("Write a place as two numbers of millimetres, such as 23.4, 55.1", true);
}

async function start() {
  const map = await answerTo("map");
  if (map.problems) { tell(map.problems.join("\n"), true); return; }
  state.cloth = map.cloth;
  drawMap(map);
  recall(map.first);
  listen();
  window.addEventListener("hashchange", () => { recall(map.first); move(); });
  refresh();
}

start();
