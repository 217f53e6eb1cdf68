// What is seen: the plates in the window and under the loupe, their edges, what is marked on them, the scale and the map.
// It draws what state holds, and asks for nothing. All lengths are mm on the design's page, y down.
"use strict";

const SVG = "http://www.w3.org/2000/svg";
const EDGES_FROM = 3; // pixels a millimetre: from farther off, edges would hide the inks
const LOUPE_BELOW = 25; // pixels a millimetre: from farther off, the edges of the plates run into each other
const CROSS = 9; // pixels: an arm of the cross that marks the middle
const DIRECTIONS = ["right", "down right", "down", "down left", "left", "up left", "up", "up right"];

const byId = (id) => document.getElementById(id);
const view = byId("view"), loupe = byId("loupe");
const state = {
  window: null, page: [0, 0], cloth: "#000", // what of the design is in sight, and the design's page
  moved: {}, asInJob: false, // distances that were moved; whether the job's own are looked at meanwhile
  looked: null, peeked: null, // the plates at hand: those in the window, and those under the loupe
  hidden: new Set(), slipping: "", // plates
  ruler: null, ruling: false, pointer: null, // what is measured; whether the middle draws it on; the place pointed at
};

// ---- drawing

function element(name, attributes, parent) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
}

function drawPlates(into, looked) { // the plates of a look, in print order, and all their edges above them
  into.replaceChildren();
  element("path", { d: everywhere(looked), fill: state.cloth }, into);
  const sinks = (plate) => plate.role === "colour" && plate.hex_on_blocker !== plate.hex;
  const lit = looked.plates.some(sinks) ? drawLit(into, looked) : [];
  const inks = element("g", { class: "plates", "fill-rule": "evenodd" }, into), lines = element("g", { class: "plates" }, into);
  for (const plate of looked.plates) {
    drawInk(plate, sinks(plate) ? plate.hex_on_blocker : plate.hex, inks);
    for (const id of sinks(plate) ? lit : []) {
      drawInk(plate, plate.hex, element("g", { "clip-path": `url(#${id})` }, inks));
    }
    const line = element("g", { "data-plate": plate.name, "data-role": plate.role, class: "line" }, lines);
    element("path", { d: plate.path, class: "halo", stroke: isDark(plate.hex) ? "#fff" : "#000" }, line);
    element("path", { d: plate.path, class: "edge", stroke: plate.hex }, line);
  }
  element("g", { class: "marks" }, into);
  place();
}

function drawInk(plate, hex, parent) {
  element("path", { d: plate.path, fill: hex }, element("g", { "data-plate": plate.name, "data-role": plate.role }, parent));
}

function drawLit(into, looked) { // where colours show as they are: off the blocker, and on white, wherever these lie
  const lit = ["off-blocker", "on-white"].map((name) => `${into.id}-${name}`);
  const [off, on] = lit.map((id) => element("clipPath", { id, "clip-rule": "evenodd" }, into));
  const [blocker] = looked.plates;
  element("path", { d: everywhere(looked) + blocker.path, "data-plate": blocker.name, "data-role": blocker.role }, off);
  const white = looked.plates.find((plate) => plate.role === "white");
  if (white) element("path", { d: white.path, "data-plate": white.name, "data-role": white.role }, on);
  return lit; // one clip of both would leave out what lies in both, in some browsers
}

function everywhere({ window: [left, top, right, bottom] }) { // far around what is in sight, as path data
  return `M${left - 1000} ${top - 1000}H${right + 1000}V${bottom + 1000}H${left - 1000}Z`;
}

function isDark(hex) {
  const [red, green, blue] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  return 0.299 * red + 0.587 * green + 0.114 * blue < 128;
}

function place() { // window, hidden plates, edges, register and marks: what needs no new plates
  const [left, top, right, bottom] = state.window;
  view.setAttribute("viewBox", `${left} ${top} ${right - left} ${bottom - top}`);
  byId("direction").textContent = DIRECTIONS[Math.round(byId("towards").value / 45) % 8];
  placePlates(view, byId("edges").checked && perMm() > EDGES_FROM);
  placePlates(loupe, byId("edges").checked);
  showScale();
  showHere();
  showLoupe();
  drawMarks();
  remember();
}

function placePlates(within, hasEdges) {
  for (const group of within.querySelectorAll("[data-plate]")) {
    const { plate, role } = group.dataset, isLine = group.classList.contains("line");
    if (!group.closest("clipPath")) group.classList.toggle("off", state.hidden.has(plate) || (isLine && !hasEdges));
    const [across, down] = slipOf({ name: plate, role });
    group.setAttribute("transform", across || down ? `translate(${across.toFixed(4)} ${down.toFixed(4)})` : "");
  }
}

function slipOf({ name, role }) { // how far a plate lies out of register
  const slips = state.slipping === name || (state.slipping === "" && role !== "blocker");
  const by = slips ? Math.max(0, Number(byId("by").value)) : 0, angle = (byId("towards").value * Math.PI) / 180;
  return [by * Math.cos(angle), by * Math.sin(angle)];
}

function perMm() { // pixels
  return view.clientWidth / (state.window[2] - state.window[0]);
}

function showScale() {
  const steps = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
  const length = steps.findLast((mm) => mm * perMm() <= 160) ?? steps[0];
  byId("bar").style.width = `${length * perMm()}px`;
  byId("bar-length").textContent = `${length} mm`;
}

// ---- the loupe, and what is marked

function isLoupeOn() {
  return byId("with-loupe").checked && perMm() < LOUPE_BELOW;
}

function underLoupe() { // without the room around, where the window cuts the plates
  const [left, top, right, bottom] = state.peeked.window, room = ((right - left) * ROOM) / (1 + 2 * ROOM);
  return [left + room, top + room, right - room, bottom - room];
}

function showLoupe() {
  byId("under-loupe").hidden = !isLoupeOn() || !state.peeked;
  if (!state.peeked) return;
  const [left, top, right, bottom] = underLoupe();
  loupe.setAttribute("viewBox", `${left} ${top} ${right - left} ${bottom - top}`);
  const [x, y] = [(left + right) / 2, (top + bottom) / 2].map((mm) => mm.toFixed(2));
  byId("loupe-place").textContent = `${(right - left).toFixed(0)} mm at ${x}, ${y}`;
}

function drawMarks() { // over the plates: where the loupe is, the middle for the keyboard, distances and the ruler
  const marks = view.querySelector(".marks");
  if (!marks) return;
  marks.replaceChildren();
  if (isLoupeOn() && state.peeked) {
    const [x, y, right, bottom] = underLoupe();
    for (const kind of ["ground", "mark"]) element("rect", { x, y, width: right - x, height: bottom - y, class: kind }, marks);
  }
  const [x, y] = middle(), arm = CROSS / perMm();
  if (!state.pointer && document.activeElement === view) markLines([[x - arm, y, x + arm, y], [x, y - arm, x, y + arm]], "mark", marks);
  const reading = edgeReading(), place = (state.pointer ?? middle()).map((mm) => mm.toFixed(2)).join(", ");
  markLines(reading?.lines ?? [], "mark", marks);
  if (state.ruler) markLines([state.ruler.flat()], "ruler", marks);
  byId("cursor").textContent = `${place} mm${reading ? `: ${reading.text}` : ""}`;
  byId("measured").textContent = state.ruler ? `${rulerLength()} mm measured` : "";
}

function markLines(lines, kind, marks) {
  for (const name of ["ground", kind]) {
    for (const [x1, y1, x2, y2] of lines) element("line", { x1, y1, x2, y2, class: name }, marks);
  }
}

function rulerLength() {
  const [[x1, y1], [x2, y2]] = state.ruler;
  return Math.hypot(x2 - x1, y2 - y1).toFixed(3);
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
