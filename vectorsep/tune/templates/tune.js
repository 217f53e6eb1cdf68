// The light table's page: it asks for the plates in sight whenever a distance or the window changes, and draws them.
// All lengths are mm on the design's page, y down. The state that matters is kept in the address behind the #.
"use strict";

const SVG = "http://www.w3.org/2000/svg";
const ROOM = 0.1; // plates are asked for this far around what is in sight, as a share of it
const FARTHEST = 3; // pixels a millimetre: from farther off, edges would hide the inks
const NEARER = 1.25; // one step of the wheel

const DIRECTIONS = ["right", "down right", "down", "down left", "left", "up left", "up", "up right"];
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

const byId = (id) => document.getElementById(id);
const view = byId("view");
const state = { window: null, moved: {}, hidden: new Set(), looked: null, cloth: "#000", job: {} };
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

async function ask() {
  const window = roomier(state.window);
  const query = new URLSearchParams({ window: window.map((mm) => mm.toFixed(4)).join(","), ...state.moved });
  const started = performance.now();
  view.classList.add("stale");
  let answer;
  try {
    answer = await (await fetch(`look?${query}`)).json();
  } catch {
    answer = { problems: ["vectorsep is no longer running: start it again and open the address that it prints"] };
  }
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

// ---- drawing

function element(name, attributes, parent) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
}

function drawPlates() {
  const [left, top, right, bottom] = state.looked.window;
  view.replaceChildren();
  const cloth = { x: left - 1000, y: top - 1000, width: right - left + 2000, height: bottom - top + 2000 };
  element("rect", { ...cloth, fill: state.cloth }, view);
  const inks = element("g", { class: "plates" }, view), lines = element("g", { class: "plates" }, view);
  for (const plate of state.looked.plates) {
    const ink = element("g", { "data-plate": plate.name, "fill-rule": "evenodd" }, inks);
    element("path", { d: plate.path, fill: plate.hex }, ink);
    if (plate.over_black) element("path", { d: plate.over_black, fill: plate.hex_on_black }, ink);
    const line = element("g", { "data-plate": plate.name, class: "line" }, lines);
    element("path", { d: plate.path, class: "halo", stroke: isDark(plate.hex) ? "#fff" : "#000" }, line);
    element("path", { d: plate.path, class: "edge", stroke: plate.hex }, line);
  }
  listPlates();
  place();
}

function isDark(hex) {
  const [red, green, blue] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  return 0.299 * red + 0.587 * green + 0.114 * blue < 128;
}

function place() { // window, hidden plates, edges and register: what needs no new plates
  const [left, top, right, bottom] = state.window;
  view.setAttribute("viewBox", `${left} ${top} ${right - left} ${bottom - top}`);
  const edges = byId("edges").checked && view.clientWidth > FARTHEST * (right - left);
  const by = Number(byId("by").value) || 0, angle = (byId("towards").value * Math.PI) / 180;
  byId("direction").textContent = DIRECTIONS[Math.round(byId("towards").value / 45) % 8];
  const slip = `translate(${(by * Math.cos(angle)).toFixed(4)} ${(by * Math.sin(angle)).toFixed(4)})`;
  for (const group of view.querySelectorAll("[data-plate]")) {
    const plate = state.looked.plates.find((one) => one.name === group.dataset.plate);
    group.classList.toggle("off", state.hidden.has(plate.name) || (group.classList.contains("line") && !edges));
    const slips = byId("slipping").value === plate.name || (byId("slipping").value === "" && plate.role !== "blocker");
    group.setAttribute("transform", slips ? slip : "");
  }
  showScale();
  showHere();
  remember();
}

function showScale() {
  const perMm = view.clientWidth / (state.window[2] - state.window[0]);
  const steps = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
  const length = steps.findLast((mm) => mm * perMm <= 160) ?? steps[0];
  byId("bar").style.width = `${length * perMm}px`;
  byId("bar-length").textContent = `${length} mm`;
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

// ---- the window: as wide for its height as the page has room

function shaped([left, top, right, bottom]) {
  const x = (left + right) / 2, y = (top + bottom) / 2, ratio = view.clientWidth / view.clientHeight || 1;
  const wide = Math.max(right - left, (bottom - top) * ratio) / 2;
  return [x - wide, y - wide / ratio, x + wide, y + wide / ratio];
}

function look(window) {
  state.window = window;
  if (state.looked) place();
  if (!isShown()) refresh();
}

function lookAt(x, y) {
  const [left, top, right, bottom] = state.window;
  const wide = (right - left) / 2, high = (bottom - top) / 2;
  look([x - wide, y - high, x + wide, y + high]);
}

function zoom(factor, [x, y]) {
  const [left, top, right, bottom] = state.window;
  const wide = (right - left) * factor;
  if (wide < 0.2 || wide > 2000) return;
  look([x - (x - left) * factor, y - (y - top) * factor, x + (right - x) * factor, y + (bottom - y) * factor]);
}

function steer({ key }) {
  const [left, , right] = state.window, [x, y] = middle(), step = (right - left) / 10;
  if (key in ARROWS) lookAt(x + step * ARROWS[key][0], y + step * ARROWS[key][1]);
  else if ("+=-".includes(key)) zoom(key === "-" ? NEARER : 1 / NEARER, [x, y]);
}

function middle() {
  const [left, top, right, bottom] = state.window;
  return [(left + right) / 2, (top + bottom) / 2];
}

function pointAt(event) {
  const [left, top, right] = state.window, perMm = view.clientWidth / (right - left), box = view.getBoundingClientRect();
  return [left + (event.clientX - box.left) / perMm, top + (event.clientY - box.top) / perMm];
}

function drag(event) {
  const [x, y] = pointAt(event), start = state.window, perMm = view.clientWidth / (start[2] - start[0]);
  const measuring = event.shiftKey, { clientX, clientY } = event;
  view.setPointerCapture(event.pointerId);
  view.classList.toggle("measuring", measuring);
  const move = (now) => {
    if (measuring) { measure([x, y], pointAt(now)); return; }
    const across = (now.clientX - clientX) / perMm, down = (now.clientY - clientY) / perMm;
    look([start[0] - across, start[1] - down, start[2] - across, start[3] - down]);
  };
  view.addEventListener("pointermove", move);
  view.addEventListener("pointerup", () => view.removeEventListener("pointermove", move), { once: true });
}

function wheel(event) {
  event.preventDefault();
  zoom(event.deltaY < 0 ? 1 / NEARER : NEARER, pointAt(event));
}

function tellPlace([x, y]) {
  byId("cursor").textContent = `${x.toFixed(2)}, ${y.toFixed(2)} mm`;
}

function measure([x1, y1], [x2, y2]) {
  view.querySelectorAll(".ruler, .ruler-ground").forEach((line) => line.remove());
  for (const kind of ["ruler-ground", "ruler"]) element("line", { x1, y1, x2, y2, class: kind }, view);
  byId("cursor").textContent = `${Math.hypot(x2 - x1, y2 - y1).toFixed(3)} mm`;
}

// ---- the map

function drawMap({ size, cloth, inks }) {
  const map = byId("map");
  map.setAttribute("viewBox", `0 0 ${size[0]} ${size[1]}`);
  element("rect", { width: size[0], height: size[1], fill: cloth }, map);
  for (const ink of inks) element("path", { d: ink.path, fill: ink.hex, "fill-rule": "evenodd" }, map);
  for (let i = 0; i < 2; i++) element("rect", { class: "here" }, map);
}

function showHere() {
  const [x, y, right, bottom] = state.window;
  for (const here of document.querySelectorAll("#map .here")) {
    for (const [key, value] of Object.entries({ x, y, width: right - x, height: bottom - y })) here.setAttribute(key, value);
  }
}

function pointOnMap(event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(byId("map").getScreenCTM().inverse());
  return [at.x, at.y];
}

// ---- what the user does

function listen() {
  byId("distances").addEventListener("input", moveDistance);
  byId("reset").addEventListener("click", () => { state.moved = {}; refresh(); });
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
