// Asking for plates: those of the window, which may take seconds, and those under the loupe, which never do.
"use strict";

const ROOM = 0.1; // plates are asked for this far around what is in sight, as a share of it
const SLOW = 250; // ms: what is seen is called old only when a look takes this long, or the page would flicker
const LONG = 1000; // ms: a look that takes longer is hung up on when its distances move on, and is told of when it is done
const REST = 200; // ms: looks that took so long wait until nothing was moved for a while
const KEPT = 4; // answers: what was just seen is seen again at once, to compare and when a step is undone

const answers = new Map(); // by question, those asked for last at the end
const looks = newest(askForLook), peeks = newest(askThroughLoupe);

function refresh() {
  looks.request();
  peeks.request();
}

function newest(ask) { // one question at a time, always of the newest state; one that takes long is hung up on for it
  const turn = { asking: null, again: false, since: 0, movedAt: 0 };
  turn.request = async () => {
    turn.movedAt = performance.now();
    if (turn.asking) {
      turn.again = true;
      if (turn.movedAt - turn.since > LONG) turn.asking.abort();
      return;
    }
    try {
      do {
        Object.assign(turn, { asking: new AbortController(), again: false, since: performance.now() });
        await ask(turn);
      } while (turn.again);
    } finally {
      turn.asking = null;
    }
  };
  return turn;
}

async function answerTo(question, parameters = {}, signal = null) {
  try {
    return await (await fetch(`${question}?${new URLSearchParams(parameters)}`, { signal })).json();
  } catch {
    return { problems: ["vectorsep is no longer running: start it again and open the address that it prints"] };
  }
}

function wanted(window = roomier(state.window), moved = distancesSeen()) {
  return { window: window.map((mm) => mm.toFixed(4)).join(","), ...moved };
}

function distancesSeen() {
  return state.asInJob ? {} : state.moved;
}

async function platesFor(question, parameters, turn) { // null when they are no longer asked for
  const asked = `${question} ${JSON.stringify(parameters)}`, moved = JSON.stringify(distancesSeen());
  const answer = answers.get(asked) ?? { ...await answerTo(question, parameters, turn.asking.signal), moved };
  if (turn.asking.signal.aborted) return null;
  answers.delete(asked);
  if (!answer.problems) answers.set(asked, answer);
  if (answers.size > KEPT) answers.delete(answers.keys().next().value);
  return answer;
}

// ---- those of the window

async function askForLook(turn) {
  const slow = setTimeout(callOld, SLOW);
  await rest(turn);
  const answer = await platesFor("look", wanted(), turn);
  clearTimeout(slow);
  if (!answer) return;
  view.classList.toggle("stale", "problems" in answer);
  if (answer.problems) {
    showDistances();
    showJob("None until the plates can be made.");
    tell(answer.problems.join("\n"), "problem");
    return;
  }
  answer.took ??= performance.now() - turn.since;
  showLook(answer);
  turn.again ||= !isShown(); // the window has come back to where it was shown before, meanwhile
}

function callOld() { // what is seen, and the job's lines if they are of what was moved before
  view.classList.add("stale");
  tell("Making the plates\u2026", "making");
  dropOldLines();
}

async function rest(turn) { // a slow look of distances that are being moved would be called off again
  const left = () => turn.movedAt + REST - performance.now();
  while (state.looked?.took > LONG && left() > 0) await new Promise((go) => { setTimeout(go, left()); });
  Object.assign(turn, { asking: new AbortController(), again: false, since: performance.now() });
}

function showLook(looked) {
  state.looked = looked;
  showDistances();
  if (looked.moved === JSON.stringify(state.moved)) showJob(jobLines() || NOTHING_MOVED);
  listPlates();
  drawPlates(view, looked);
  const made = looked.plates.length ? `Plates in sight made in ${Math.round(looked.took)} ms` : "No art in sight";
  tell(state.asInJob ? "As in the job, until let go" : made);
  if (isUnspoken) speakPlace();
  else if (looked.took > LONG) speak("Plates made");
}

function roomier([left, top, right, bottom]) {
  const across = ROOM * (right - left), down = ROOM * (bottom - top);
  return [left - across, top - down, right + across, bottom + down];
}

function isShown() { // whether the plates at hand are those of what is in sight
  const looked = state.looked;
  if (!looked || looked.moved !== JSON.stringify(distancesSeen())) return false;
  const [left, top, right, bottom] = state.window, [l, t, r, b] = looked.window;
  return l <= left && t <= top && right <= r && bottom <= b && r - l < 4 * (right - left);
}

function tell(text, what = "shown") {
  byId("told").textContent = text;
  document.body.dataset.state = what;
  if (what === "problem") speak(text);
}

// ---- those under the loupe

async function askThroughLoupe(turn) {
  if (!isLoupeOn()) { state.peeked = null; return; }
  const slow = setTimeout(() => loupe.classList.add("stale"), SLOW);
  const answer = await platesFor("loupe", wanted(state.window), turn);
  clearTimeout(slow);
  if (!answer) return;
  loupe.classList.toggle("stale", "problems" in answer);
  if (answer.problems) return; // the look tells them
  state.peeked = answer;
  drawPlates(loupe, answer);
}
