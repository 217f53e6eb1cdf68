// The window moved over the design, and measuring: by pointer, wheel, fingers and keyboard.
"use strict";

const NEAREST = 0.2, FARTHEST = 2000; // mm across the view
const NEARER = 1.25; // one step of the wheel
const WHEEL_STEP = 100; // pixels: what turns the wheel less than a step, such as a trackpad, zooms less
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const STEP = 0.1, FINE_STEP = 0.005; // of the window's width, for an arrow key, and with Shift

const fingers = new Map(); // what holds the window, by pointer: where it is on the screen
let grip = null; // the window as it was when a finger last came or went, and where the fingers were

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
  if (state.ruling) state.ruler[1] = middle();
  if (state.looked) place();
  if (isShown()) peeks.request();
  else refresh();
  speakPlace();
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

function lookAtPage() { // all of it, above what is told at the bottom
  const [width, height] = state.page, free = view.clientHeight - document.querySelector("footer").offsetHeight;
  look(shaped([0, 0, width, (height * view.clientHeight) / Math.max(free, view.clientHeight / 2)]));
}

function middle() {
  const [left, top, right, bottom] = state.window;
  return [(left + right) / 2, (top + bottom) / 2];
}

function pointAt({ clientX, clientY }) {
  const [left, top] = state.window, box = view.getBoundingClientRect();
  return [left + (clientX - box.left) / perMm(), top + (clientY - box.top) / perMm()];
}

// ---- keys

function steer(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return; // the browser's own
  const act = byKey(event) ?? { e: toEdge, m: rule, escape: endMeasuring }[event.key.toLowerCase()];
  if (!act) return;
  event.preventDefault();
  point(null);
  act();
}

function byKey({ key, shiftKey, currentTarget }) { // what moves the window; on the map by whole windows
  const [left, , right] = state.window, [x, y] = middle();
  const step = (right - left) * (currentTarget === byId("map") ? 1 : shiftKey ? FINE_STEP : STEP);
  if (key in ARROWS) return () => lookAt(x + step * ARROWS[key][0], y + step * ARROWS[key][1]);
  if (key === "0") return lookAtPage;
  return "+=-".includes(key) ? () => zoom(key === "-" ? NEARER : 1 / NEARER, [x, y]) : null;
}

function toEdge() {
  const edge = nearestEdge(middle());
  if (edge) lookAt(edge.x, edge.y);
}

// ---- pointers: one drags or measures, two pinch

function hold(event) {
  if (event.pointerType === "mouse" && event.button !== 0) return;
  if (fingers.size === 0) startMeasuring(event);
  else if (fingers.size === 1 && grip.from) { grip.from = null; measure(null); } // a pinch, after all
  view.setPointerCapture(event.pointerId);
  fingers.set(event.pointerId, [event.clientX, event.clientY]);
  takeGrip(grip?.from);
}

function startMeasuring(event) {
  grip = event.shiftKey || byId("measuring").checked ? { from: pointAt(event) } : null;
  view.classList.toggle("measuring", Boolean(grip));
  if (grip) measure(null);
}

function takeGrip(from) {
  grip = fingers.size ? { from, window: state.window, perMm: perMm(), ...spanned() } : null;
}

function drag(event) {
  if (!fingers.has(event.pointerId)) { if (!event.buttons) point(pointAt(event)); return; }
  fingers.set(event.pointerId, [event.clientX, event.clientY]);
  if (grip.from) { measure([grip.from, pointAt(event)]); return; }
  const { at, apart } = spanned(), [left, top, right, bottom] = grip.window, box = view.getBoundingClientRect();
  const scale = between(view.clientWidth / FARTHEST, (grip.perMm * apart) / grip.apart, view.clientWidth / NEAREST);
  const [x, y] = [left + (grip.at[0] - box.left) / grip.perMm, top + (grip.at[1] - box.top) / grip.perMm];
  const [newLeft, newTop] = [x - (at[0] - box.left) / scale, y - (at[1] - box.top) / scale];
  look([newLeft, newTop, newLeft + ((right - left) * grip.perMm) / scale, newTop + ((bottom - top) * grip.perMm) / scale]);
}

function spanned() { // the middle of the fingers, and how far they are apart
  const [[x, y], [x2, y2]] = [...fingers.values(), ...fingers.values()];
  return { at: [(x + x2) / 2, (y + y2) / 2], apart: Math.hypot(x2 - x, y2 - y) || 1 };
}

function letGo(event) { // or taken away by a menu or another window
  fingers.delete(event.pointerId);
  view.classList.remove("measuring");
  takeGrip(null);
  speakPlace();
}

function wheel(event) {
  event.preventDefault();
  const turned = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? event.deltaY / WHEEL_STEP : event.deltaY;
  zoom(NEARER ** between(-1, turned, 1), pointAt(event));
}

function point(at) {
  state.pointer = at;
  drawMarks();
}

// ---- measuring

function measure(ruler) {
  state.ruler = ruler;
  state.ruling = false;
  drawMarks();
}

function rule() { // from the middle to wherever the middle goes, until the same key ends it there
  if (state.ruling) { state.ruling = false; return; }
  measure([middle(), middle()]);
  state.ruling = true;
}

function endMeasuring() {
  measure(null);
  speakPlace();
}

function moveOnMap(event) {
  if (event.type === "pointerdown") event.currentTarget.setPointerCapture(event.pointerId);
  if (event.buttons & 1) lookAt(...pointOnMap(event));
}
