// A plan that shows what was answered: the plate, and the edges of the concrete around it.

const SPACE = "http://www.w3.org/2000/svg";
const MIDDLE = 180;
const FARTHEST = 130; // on paper; an edge 2 m away or more
const REACH_MM = 2000;

function draw(tag, attributes, words) {
  const node = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  if (words) node.textContent = words;
  return node;
}

// Not to scale: near distances are spread so that a near edge can be told from the plate.
const onPaper = (mm) => 28 + (FARTHEST - 28) * Math.sqrt(Math.min(Math.max(mm, 0), REACH_MM) / REACH_MM);

const LINES = {
  top: (d) => [20, MIDDLE - d, 340, MIDDLE - d, MIDDLE, MIDDLE - d - 8, "middle"],
  bottom: (d) => [20, MIDDLE + d, 340, MIDDLE + d, MIDDLE, MIDDLE + d + 18, "middle"],
  left: (d) => [MIDDLE - d, 20, MIDDLE - d, 340, MIDDLE - d - 4, MIDDLE + 5, "end"],
  right: (d) => [MIDDLE + d, 20, MIDDLE + d, 340, MIDDLE + d + 4, MIDDLE + 5, "start"],
};

export function plan(edges) {
  const svg = draw("svg", { viewBox: "-30 0 420 360", "aria-hidden": "true", focusable: "false" });
  svg.append(draw("rect", { x: MIDDLE - 22, y: MIDDLE - 22, width: 44, height: 44, fill: "none", stroke: "#000", "stroke-width": 2 }));
  svg.append(draw("path", { d: `M${MIDDLE - 6} ${MIDDLE}h12M${MIDDLE} ${MIDDLE - 6}v12`, stroke: "#000" }));
  for (const [side, { mm, label }] of Object.entries(edges)) {
    if (mm === null) continue;
    const [x1, y1, x2, y2, x, y, anchor] = LINES[side](onPaper(mm));
    svg.append(draw("line", { x1, y1, x2, y2, stroke: "#000", "stroke-width": 4 }));
    svg.append(draw("text", { x, y, "text-anchor": anchor, "font-size": 15 }, label));
  }
  return svg;
}
