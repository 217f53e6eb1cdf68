// The check of the whole design's films: one at a time, called off as soon as a distance is moved, since its outcome
// would be of other distances than those that stand there.
"use strict";

const CLOSE = 20; // mm: no more is shown around the place of a remark
const NOT_CHECKED = "Not checked.";

let checking = null; // the check on its way: what calls it off

async function check() {
  if (checking) return;
  const mine = checking = new AbortController(), ticking = showTime();
  showVerdict("Making and checking the films\u2026");
  const answer = await answerTo("check", wanted(state.window, state.moved), mine.signal);
  clearInterval(ticking);
  if (checking !== mine) return; // called off
  checking = null;
  if (answer.problems) showVerdict(NOT_CHECKED, answer.problems.map((message) => ({ message })));
  else showVerdict(`${answer.verdict}, ${answer.screens}`, answer.remarks, !answer.safe);
}

function callOff() { // what was checked were other distances, too
  checking?.abort();
  checking = null;
  showVerdict(NOT_CHECKED);
}

function showTime() { // how long it has lasted; told apart from the verdict, or it would be read aloud every second
  const started = performance.now();
  const show = () => { byId("lasts").textContent = `${Math.round((performance.now() - started) / 1000)} s`; };
  show();
  return setInterval(show, 1000);
}

function showVerdict(text, remarks = [], isUnsafe = false) {
  byId("verdict").textContent = text;
  byId("verdict").classList.toggle("unsafe", isUnsafe);
  byId("remarks").replaceChildren(...remarks.map(listed));
  for (const id of ["call-off", "lasts"]) byId(id).hidden = !checking;
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
