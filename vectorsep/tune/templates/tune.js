// The light table's page: its panel, and what the user does there. The state that matters is kept in the address
// behind the #.
"use strict";

const SETTLED = 300; // ms: browsers refuse an address that changes at every move of the pointer
const FARTHEST_PLACE = 10000; // mm
const NOTHING_MOVED = "Nothing moved.";

let settling = 0;
let linesOf = null; // the moved distances that the lines for the job file are of

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
  box.dataset.hides = plate.name;
  box.addEventListener("change", () => { state.hidden[box.checked ? "delete" : "add"](plate.name); place(); });
  name.textContent = plate.name;
  label.append(box, swatch, name);
  item.append(label, onlyButton(plate));
  return item;
}

function onlyButton(plate) { // what is on this screen, or all again
  const button = document.createElement("button");
  Object.assign(button, { type: "button", textContent: "only", ariaLabel: `only ${plate.name}, or all again` });
  button.addEventListener("click", () => {
    const others = state.looked.plates.map(({ name }) => name).filter((name) => name !== plate.name);
    const isAlone = !state.hidden.has(plate.name) && others.every((name) => state.hidden.has(name));
    state.hidden = new Set(isAlone ? [] : others);
    for (const box of document.querySelectorAll("#plates input")) box.checked = !state.hidden.has(box.dataset.hides);
    place();
  });
  return button;
}

function showDistances(fieldsToo = false) { // as moved; all others as the plates were made, a switch as in the job
  for (const input of distanceFields()) {
    const { key } = input.dataset, made = state.looked?.distances[key];
    if (input.type === "range" && made > input.max) input.max = made;
    if (fieldsToo || input !== document.activeElement || input.type === "range") input.value = state.moved[key] ?? made ?? input.defaultValue ?? "";
    input.closest(".distance").classList.toggle("moved", key in state.moved);
    byId(`back-${key}`).hidden = !(key in state.moved);
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

function dropOldLines() {
  if (linesOf !== JSON.stringify(state.moved)) showJob("None until the plates are made.");
}

function showJob(text) {
  linesOf = JSON.stringify(state.moved);
  byId("job").textContent = text;
  byId("copy").disabled = !text.startsWith("[");
}

function moveDistance({ target }) {
  if (!target.dataset.key || target.validity.badInput) return;
  setDistance(target.dataset.key, target.value);
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

function recall(first) { // what the address holds: the window, and the distances that were moved
  const held = new URLSearchParams(location.hash.slice(1));
  const keys = [...new Set([...distanceFields()].map((input) => input.dataset.key))];
  const isSound = (key) => held.get(key) && (Number.isFinite(Number(held.get(key))) || ["true", "false"].includes(held.get(key)));
  const edges = (held.get("window") ?? "").split(",").map(Number);
  const sound = edges.length === 4 && edges.every(isPlace) && edges[0] < edges[2] && edges[1] < edges[3];
  state.window = shaped(sound ? edges : first);
  return Object.fromEntries(keys.filter(isSound).map((key) => [key, held.get(key)]));
}

function isPlace(mm) {
  return Math.abs(mm) <= FARTHEST_PLACE;
}

// ---- what the user does

function listen() {
  listenToPanel();
  listenToView();
  listenToKeys();
}

function listenToPanel() {
  byId("distances").addEventListener("input", moveDistance);
  byId("distances").addEventListener("change", settleStep);
  byId("reset").addEventListener("click", () => takeStep({}));
  byId("undo").addEventListener("click", undo);
  byId("redo").addEventListener("click", redo);
  for (const back of document.querySelectorAll("[data-back]")) back.addEventListener("click", () => setDistance(back.dataset.back, ""));
  byId("check").addEventListener("click", check);
  byId("call-off").addEventListener("click", callOff);
  byId("copy").addEventListener("click", copyJob);
  byId("place").addEventListener("submit", lookAtPlace);
  byId("slipping").addEventListener("input", () => { state.slipping = byId("slipping").value; });
  for (const id of ["edges", "slipping", "by", "towards"]) byId(id).addEventListener("input", place);
  byId("with-loupe").addEventListener("input", () => { place(); peeks.request(); });
  for (const form of document.forms) form.addEventListener("submit", (event) => event.preventDefault());
}

function listenToView() {
  for (const kind of ["pointerdown", "pointermove"]) byId("map").addEventListener(kind, moveOnMap);
  byId("nearer").addEventListener("click", () => zoom(1 / NEARER, middle()));
  byId("farther").addEventListener("click", () => zoom(NEARER, middle()));
  byId("whole").addEventListener("click", lookAtPage);
  view.addEventListener("pointerdown", hold);
  view.addEventListener("pointermove", drag);
  view.addEventListener("lostpointercapture", letGo);
  view.addEventListener("pointerleave", () => point(null));
  view.addEventListener("wheel", wheel, { passive: false });
  for (const kind of ["focus", "blur"]) view.addEventListener(kind, drawMarks);
  window.addEventListener("resize", () => look(reshaped(state.window)));
}

function listenToKeys() {
  for (const steered of [view, byId("map")]) steered.addEventListener("keydown", steer);
  document.addEventListener("keydown", stepByKey);
  listenToComparing();
}

function lookAtPlace(event) {
  event.preventDefault();
  const numbers = (byId("at").value.match(/[-+]?(\d+\.?\d*|\.\d+)/g) ?? []).map(Number);
  if (numbers.length === 2 && numbers.every(isPlace)) lookAt(...numbers);
  else tell("Write a place as two numbers of millimetres, such as 23.4, 55.1", "problem");
}

async function start() {
  const map = await answerTo("map");
  if (map.problems) { tell(map.problems.join("\n"), "problem"); return; }
  Object.assign(state, { cloth: map.cloth, page: map.size });
  drawMap(map);
  listen();
  window.addEventListener("hashchange", () => takeStep(recall(map.first)));
  move(recall(map.first));
}

start();
