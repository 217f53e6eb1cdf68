// Distances between the plates' edges, as they are drawn: out of register if they are, without those that are hidden.
"use strict";

const READ_FROM = 10; // pixels a millimetre: from farther off, nobody can point at one edge among others
const NEAR = 12; // pixels: an edge this near to the pointer is the one that is meant
const TOLD = 2; // mm: edges farther from it are told nothing of
const CUT = 2e-4; // mm: an edge so near to the window's own is none, but where the window cuts the plate

const edgesRead = new WeakMap(); // by plate, as they were asked for

function edgesOf(plate, window) { // [x1, y1, x2, y2, x1, ...] of all sides, and for each whether it is only a cut
  if (edgesRead.has(plate)) return edgesRead.get(plate);
  const sides = [], cuts = [], [left, top, right, bottom] = window;
  for (const ring of plate.path.split("Z")) {
    const points = (ring.match(/-?[\d.]+(e-?\d+)?/g) ?? []).map(Number);
    for (let i = 0; i < points.length; i += 2) {
      const [x1, y1] = [points[i], points[i + 1]], [x2, y2] = [points[(i + 2) % points.length], points[(i + 3) % points.length]];
      sides.push(x1, y1, x2, y2);
      cuts.push([left, right].some((x) => Math.abs(x1 - x) < CUT && Math.abs(x2 - x) < CUT)
        || [top, bottom].some((y) => Math.abs(y1 - y) < CUT && Math.abs(y2 - y) < CUT));
    }
  }
  const edges = { sides: Float64Array.from(sides), cuts };
  edgesRead.set(plate, edges);
  return edges;
}

function nearestOn(plate, [x, y]) { // the point of a plate's edge nearest to a point, and how far away, where the plate lies now
  const { sides, cuts } = edgesOf(plate, state.looked.window), [across, down] = slipOf(plate), px = x - across, py = y - down;
  let least = Infinity, nearX = 0, nearY = 0;
  for (let i = 0; i < sides.length; i += 4) {
    if (cuts[i / 4]) continue;
    const dx = sides[i + 2] - sides[i], dy = sides[i + 3] - sides[i + 1], toX = px - sides[i], toY = py - sides[i + 1];
    const along = Math.min(Math.max((toX * dx + toY * dy) / (dx * dx + dy * dy || 1), 0), 1);
    const offX = toX - along * dx, offY = toY - along * dy, squared = offX * offX + offY * offY;
    if (squared < least) { least = squared; nearX = px - offX; nearY = py - offY; }
  }
  return { plate, x: nearX + across, y: nearY + down, away: Math.sqrt(least) };
}

function isOn(plate, [x, y]) { // whether a plate covers a point, by the even-odd rule
  const { sides } = edgesOf(plate, state.looked.window), [across, down] = slipOf(plate), px = x - across, py = y - down;
  let crossings = 0;
  for (let i = 0; i < sides.length; i += 4) {
    const y1 = sides[i + 1], y2 = sides[i + 3];
    if (y1 > py !== y2 > py && px < sides[i] + ((py - y1) * (sides[i + 2] - sides[i])) / (y2 - y1)) crossings += 1;
  }
  return crossings % 2 === 1;
}

function shownPlates() {
  return (state.looked?.plates ?? []).filter((plate) => !state.hidden.has(plate.name));
}

function nearestEdge(point) { // of all plates that are shown, or null
  const [first, ...others] = shownPlates().map((plate) => nearestOn(plate, point));
  const nearest = others.reduce((one, other) => (other.away < one.away ? other : one), first ?? { away: Infinity });
  return nearest.away < Infinity ? nearest : null;
}

function edgeReading() { // from the edge that is pointed at to those of the other plates: in words, and as lines
  if (!byId("edges").checked || perMm() < READ_FROM || !isShown()) return null;
  const edge = nearestEdge(state.pointer ?? middle());
  if (!edge || edge.away * perMm() > NEAR) return null;
  const at = [edge.x, edge.y], others = shownPlates().filter((plate) => plate.name !== edge.plate.name);
  const near = others.map((plate) => nearestOn(plate, at)).filter(({ away }) => away <= TOLD);
  const told = near.map(({ plate, away }) => `${plate.name} ${howFar(plate, away, at)}`);
  return {
    text: [`edge of ${edge.plate.name}`, ...told].join("; "),
    lines: near.filter(({ away }) => away > CUT).map(({ x, y }) => [...at, x, y]),
  };
}

function howFar(plate, away, at) {
  if (away < 0.005) return "ends there too";
  return `${isOn(plate, at) ? "reaches" : "stops"} ${away.toFixed(2)} mm ${isOn(plate, at) ? "past it" : "short of it"}`;
}

// ---- what those hear who do not see it

let speaking = 0;
let isUnspoken = false; // what is told of a place waits for its plates

function speakPlace() { // once what moves has come to rest
  clearTimeout(speaking);
  speaking = setTimeout(() => {
    isUnspoken = !isShown();
    if (!isUnspoken) speak(["cursor", "measured"].map((id) => byId(id).textContent).filter(Boolean).join("; "));
  }, SETTLED);
}

function speak(text) {
  byId("spoken").textContent = text;
}
