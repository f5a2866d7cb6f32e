// A plan that shows what was answered: the plate, the edges of the concrete around it, and from where they are measured.

import { ASKED_WITHIN_MM } from "./sides.js";
import { say } from "./words.js";

const SPACE = "http://www.w3.org/2000/svg";
const MIDDLE = 180;
const HALF = 30; // of the plate on paper
const HOLE = 18; // from the middle to a hole on paper
const FARTHEST = 140; // on paper; an edge as far away as is asked for, or farther
const FROM = { middle: 0, hole: HOLE, plate: HALF };

function draw(tag, attributes, words) {
  const node = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  if (words) node.textContent = words;
  return node;
}

// Not to scale: near distances are spread so that a near edge can be told from the plate.
const onPaper = (mm) => HALF + 18 + (FARTHEST - HALF - 18) * Math.sqrt(Math.min(Math.max(mm, 0), ASKED_WITHIN_MM) / ASKED_WITHIN_MM);

// The way from the middle to each place; measured beside the holes, so that no two lines lie on one another.
const WAYS = { top: [0, -1], bottom: [0, 1], left: [-1, 0], right: [1, 0] };
const TEXTS = {
  top: (d) => [MIDDLE, MIDDLE - d - 8, "middle"],
  bottom: (d) => [MIDDLE, MIDDLE + d + 20, "middle"],
  left: (d) => [MIDDLE - d - 6, MIDDLE - 12, "end"],
  right: (d) => [MIDDLE + d + 6, MIDDLE - 12, "start"],
};
// Where the words of each side stand, and whether they run upwards.
const RIM = { top: [MIDDLE, 6, false], bottom: [MIDDLE, 368, false], left: [-74, MIDDLE, true], right: [448, MIDDLE, true] };

const HOLES = [[-HOLE, -HOLE], [HOLE, -HOLE], [-HOLE, HOLE], [HOLE, HOLE]];

function plate() {
  const parts = [draw("rect", { x: MIDDLE - HALF, y: MIDDLE - HALF, width: 2 * HALF, height: 2 * HALF, fill: "none", stroke: "#000", "stroke-width": 2 })];
  for (const [x, y] of HOLES) parts.push(draw("circle", { cx: MIDDLE + x, cy: MIDDLE + y, r: 4, fill: "none", stroke: "#000" }));
  parts.push(draw("path", { d: `M${MIDDLE - 6} ${MIDDLE}h12M${MIDDLE} ${MIDDLE - 6}v12`, stroke: "#000" }));
  return parts;
}

// A dimension line from where it is measured to the edge.
function dimension(place, distance, measured) {
  const [x, y] = WAYS[place];
  const beside = measured === "hole" ? HOLE : 0;
  const [ox, oy] = [y === 0 ? 0 : beside, x === 0 ? 0 : beside];
  const at = (far) => [MIDDLE + x * far + ox, MIDDLE + y * far + oy];
  const [[x1, y1], [x2, y2]] = [at(FROM[measured]), at(distance)];
  return [draw("line", { x1, y1, x2, y2, stroke: "#000", "stroke-dasharray": "4 3" }), draw("circle", { cx: x1, cy: y1, r: 2.5 }), draw("circle", { cx: x2, cy: y2, r: 2.5 })];
}

function rim(place, words) {
  const [x, y, upwards] = RIM[place];
  return draw("text", { class: "side", x, y, "text-anchor": "middle", "font-size": 22, ...(upwards ? { transform: `rotate(-90 ${x} ${y})` } : {}) }, words);
}

function looking() {
  const line = draw("path", { d: "M-70 402h64m-10 -6l10 6l-10 6", fill: "none", stroke: "#000", "stroke-width": 2 });
  return [line, draw("text", { x: 6, y: 408, "font-size": 20 }, say("the way you look"))];
}

// Seen from the fixture, x to the right and y up, whatever the surface. `sides` holds each side by its place.
export function plan(sides, measured, arrow) {
  const svg = draw("svg", { viewBox: "-96 -16 562 436", "aria-hidden": "true", focusable: "false" });
  svg.append(...plate(), ...(arrow ? looking() : []));
  for (const [place, { mm, label, words }] of Object.entries(sides)) {
    svg.append(rim(place, words));
    if (mm === null) continue;
    const far = onPaper(mm);
    const [x, y] = WAYS[place];
    const across = { x1: x ? MIDDLE + x * far : 20, x2: x ? MIDDLE + x * far : 340, y1: y ? MIDDLE + y * far : 20, y2: y ? MIDDLE + y * far : 340 };
    svg.append(draw("line", { class: "edge", "data-place": place, ...across, stroke: "#000", "stroke-width": 4 }));
    if (measured) svg.append(...dimension(place, far, measured));
    const [textX, textY, anchor] = TEXTS[place](far);
    svg.append(draw("text", { class: "distance-label", x: textX, y: textY, "text-anchor": anchor, "font-size": 22 }, label));
  }
  return svg;
}
