// What is seen: the plates in the window, their edges, the scale and the map; and the window moved over the design.
// It draws what state holds, and asks for nothing itself but through refresh(), which tune.js has.
// All lengths are mm on the design's page, y down.
"use strict";

const SVG = "http://www.w3.org/2000/svg";
const EDGES_FROM = 3; // pixels a millimetre: from farther off, edges would hide the inks
const NEAREST = 0.2, FARTHEST = 2000; // mm across the view
const NEARER = 1.25; // one step of the wheel
const WHEEL_STEP = 100; // pixels: what turns the wheel less than a step, such as a trackpad, zooms less
const DIRECTIONS = ["right", "down right", "down", "down left", "left", "up left", "up", "up right"];
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

const byId = (id) => document.getElementById(id);
const view = byId("view");
const state = { window: null, moved: {}, hidden: new Set(), slipping: "", ruler: null, looked: null, cloth: "#000" };

// ---- drawing

function element(name, attributes, parent) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
}

function drawPlates() {
  view.replaceChildren();
  element("path", { d: everywhere(), fill: state.cloth }, view);
  const lit = state.looked.exposed_black ? drawLit() : [];
  const inks = element("g", { class: "plates", "fill-rule": "evenodd" }, view), lines = element("g", { class: "plates" }, view);
  for (const plate of state.looked.plates) {
    drawInk(plate, lit.length && plate.role === "colour" ? plate.hex_on_black : plate.hex, inks);
    for (const id of plate.role === "colour" ? lit : []) {
      drawInk(plate, plate.hex, element("g", { "clip-path": `url(#${id})` }, inks));
    }
    const line = element("g", { "data-plate": plate.name, class: "line" }, lines);
    element("path", { d: plate.path, class: "halo", stroke: isDark(plate.hex) ? "#fff" : "#000" }, line);
    element("path", { d: plate.path, class: "edge", stroke: plate.hex }, line);
  }
  drawRuler();
  place();
}

function drawInk(plate, hex, parent) {
  element("path", { d: plate.path, fill: hex }, element("g", { "data-plate": plate.name }, parent));
}

function drawLit() { // where colours show as they are: off the black that the blocker prints, and on white, wherever it lies
  const lit = ["off-black", "on-white"], [off, on] = lit.map((id) => element("clipPath", { id, "clip-rule": "evenodd" }, view));
  element("path", { d: everywhere() + state.looked.exposed_black }, off);
  const white = state.looked.plates.find((plate) => plate.role === "white");
  if (white) element("path", { d: white.path, "data-plate": white.name }, on);
  return lit; // one clip of both would leave out what lies in both, in some browsers
}

function everywhere() { // far around what is in sight, as path data
  const [left, top, right, bottom] = state.looked.window;
  return `M${left - 1000} ${top - 1000}H${right + 1000}V${bottom + 1000}H${left - 1000}Z`;
}

function isDark(hex) {
  const [red, green, blue] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  return 0.299 * red + 0.587 * green + 0.114 * blue < 128;
}

function place() { // window, hidden plates, edges and register: what needs no new plates
  const [left, top, right, bottom] = state.window;
  view.setAttribute("viewBox", `${left} ${top} ${right - left} ${bottom - top}`);
  const edges = byId("edges").checked && view.clientWidth > EDGES_FROM * (right - left);
  const by = Math.max(0, Number(byId("by").value)), angle = (byId("towards").value * Math.PI) / 180;
  byId("direction").textContent = DIRECTIONS[Math.round(byId("towards").value / 45) % 8];
  const slip = `translate(${(by * Math.cos(angle)).toFixed(4)} ${(by * Math.sin(angle)).toFixed(4)})`;
  for (const group of view.querySelectorAll("[data-plate]")) {
    const plate = state.looked.plates.find((one) => one.name === group.dataset.plate);
    if (!group.closest("clipPath")) group.classList.toggle("off", state.hidden.has(plate.name) || (group.classList.contains("line") && !edges));
    const slips = state.slipping === plate.name || (state.slipping === "" && plate.role !== "blocker");
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

// ---- the window: as wide for its height as the page has room

function shaped([left, top, right, bottom]) {
  const x = (left + right) / 2, y = (top + bottom) / 2, ratio = view.clientWidth / view.clientHeight || 1;
  const wide = between(NEAREST, Math.max(right - left, (bottom - top) * ratio), FARTHEST) / 2;
  return [x - wide, y - wide / ratio, x + wide, y + wide / ratio];
}

function reshaped([left, , right]) { // as far across as before: a window that was high for a while leaves nothing behind
  const [, y] = middle();
  return shaped([left, y, right, y]);
}

function between(least, value, most) {
  return Math.min(Math.max(value, least), most);
}

function look(window) {
  state.window = window;
  if (state.looked) place();
  if (!isShown()) refresh();
}

function lookAt(x, y, widest = Infinity) {
  const [left, top, right, bottom] = state.window;
  const wide = Math.min(right - left, widest) / 2, high = (wide * (bottom - top)) / (right - left);
  look([x - wide, y - high, x + wide, y + high]);
}

function zoom(factor, [x, y]) {
  const [left, top, right, bottom] = state.window;
  const share = between(NEAREST, (right - left) * factor, FARTHEST) / (right - left);
  look([x - (x - left) * share, y - (y - top) * share, x + (right - x) * share, y + (bottom - y) * share]);
}

function steer(event) {
  const { key } = event, [left, , right] = state.window, [x, y] = middle(), step = (right - left) / 10;
  if (event.ctrlKey || event.metaKey || event.altKey) return; // the browser's own
  if (key in ARROWS) lookAt(x + step * ARROWS[key][0], y + step * ARROWS[key][1]);
  else if ("+=-".includes(key)) zoom(key === "-" ? NEARER : 1 / NEARER, [x, y]);
  else if (key === "Escape") measure(null);
  else return;
  event.preventDefault();
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
  if (event.button !== 0 || !event.isPrimary) return;
  const from = pointAt(event), start = state.window, perMm = view.clientWidth / (start[2] - start[0]);
  const measuring = event.shiftKey, { clientX, clientY } = event, done = new AbortController();
  view.setPointerCapture(event.pointerId);
  view.classList.toggle("measuring", measuring);
  if (measuring) measure(null);
  view.addEventListener("pointermove", (now) => {
    if (measuring) { measure([from, pointAt(now)]); return; }
    const across = (now.clientX - clientX) / perMm, down = (now.clientY - clientY) / perMm;
    look([start[0] - across, start[1] - down, start[2] - across, start[3] - down]);
  }, { signal: done.signal });
  view.addEventListener("lostpointercapture", () => { // let go of, or taken away by a menu or another window
    done.abort();
    view.classList.remove("measuring");
  }, { once: true });
}

function wheel(event) {
  event.preventDefault();
  const steps = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? event.deltaY / WHEEL_STEP : event.deltaY;
  zoom(NEARER ** between(-1, steps, 1), pointAt(event));
}

function tellPlace([x, y]) {
  byId("cursor").textContent = `${x.toFixed(2)}, ${y.toFixed(2)} mm`;
}

function measure(ruler) {
  state.ruler = ruler;
  drawRuler();
}

function drawRuler() {
  view.querySelectorAll(".ruler, .ruler-ground").forEach((line) => line.remove());
  if (!state.ruler) { byId("measured").textContent = ""; return; }
  const [[x1, y1], [x2, y2]] = state.ruler;
  for (const kind of ["ruler-ground", "ruler"]) element("line", { x1, y1, x2, y2, class: kind }, view);
  byId("measured").textContent = `${Math.hypot(x2 - x1, y2 - y1).toFixed(3)} mm measured`;
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
