// Distances moved step by step: undone, done again, put back to the job's, and held against the job's own.
"use strict";

const undone = [], done = []; // what was moved before and after each step
let moving = null; // the distance that is being moved: until it settles, all of it is one step

function setDistance(key, value) {
  const moved = { ...state.moved, [key]: value };
  if (value === "") delete moved[key]; // as in the job
  if (moving !== key) keepStep();
  moving = value === "" ? null : key;
  move(moved);
}

function settleStep() {
  moving = null;
}

function keepStep() {
  done.push(state.moved);
  undone.length = 0;
}

function takeStep(moved) { // to other distances at once
  keepStep();
  moving = null;
  move(moved, true);
}

function undo() {
  stepTo(done, undone);
}

function redo() {
  stepTo(undone, done);
}

function stepTo(from, onto) {
  if (!from.length) return;
  onto.push(state.moved);
  moving = null;
  move(from.pop(), true);
}

function move(moved, fieldsToo = false) {
  state.moved = moved;
  showDistances(fieldsToo);
  showSteps();
  if (view.classList.contains("stale")) dropOldLines();
  callOff();
  refresh();
}

function showSteps() {
  byId("undo").disabled = !done.length;
  byId("redo").disabled = !undone.length;
  byId("as-in-job").disabled = byId("reset").disabled = !Object.keys(state.moved).length;
}

function stepByKey(event) {
  const key = event.key.toLowerCase(), isText = event.target.matches("#at, #by");
  if (!(event.ctrlKey || event.metaKey) || event.altKey || isText) return;
  if (key === "z" && !event.shiftKey) undo();
  else if (key === "y" || key === "z") redo();
  else return;
  event.preventDefault(); // a field would take back what was typed, too
}

// ---- the job's own, as long as the button or the key J is held

function listenToComparing() {
  const button = byId("as-in-job");
  button.addEventListener("pointerdown", (event) => { button.setPointerCapture(event.pointerId); compare(true); });
  button.addEventListener("lostpointercapture", () => compare(false));
  button.addEventListener("contextmenu", (event) => event.preventDefault()); // what a long touch brings
  const isMeant = ({ key, target }) => (key.toLowerCase() === "j" && !target.matches("input:not([type=range], [type=checkbox]), select"))
    || (key === " " && target === button);
  document.addEventListener("keydown", (event) => { if (isMeant(event) && !event.ctrlKey && !event.metaKey && !event.altKey) compare(true); });
  document.addEventListener("keyup", ({ key }) => { if (["j", " "].includes(key.toLowerCase())) compare(false); });
  window.addEventListener("blur", () => compare(false));
}

function compare(asInJob) {
  if (state.asInJob === asInJob || (asInJob && !Object.keys(state.moved).length)) return;
  state.asInJob = asInJob;
  byId("as-in-job").setAttribute("aria-pressed", asInJob);
  view.classList.toggle("as-in-job", asInJob);
  refresh();
}
