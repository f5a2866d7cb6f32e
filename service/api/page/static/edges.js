// From where somebody measured to the middle of the plate, and from there to the nearest hole: plain additions.

import { SIDES } from "./sides.js";
import { say } from "./words.js";

const OF_AXIS = { x: { size: "plate-x", spacing: "spacing-x", section: "section-x" }, y: { size: "plate-y", spacing: "spacing-y", section: "section-y" } };
const ROWS = { any: { x: [1, 2], y: [1, 2] }, one: { x: [1], y: [1] }, "row-x": { x: [2], y: [1] }, "row-y": { x: [1], y: [2] }, four: { x: [2], y: [2] }, "six-x": { x: [3], y: [2] }, "six-y": { x: [2], y: [3] }, eight: { x: [3], y: [3] } };

export const axisOf = (view, side) => view.edges[side].charAt(0);

// How many rows of holes may stand along an axis.
export const counts = (holes, axis) => ROWS[holes]?.[axis] ?? [1];

const mostRows = (holes, axis) => Math.max(...counts(holes, axis));
export const hasSpacing = (holes, axis) => mostRows(holes, axis) > 1;
const halfOfRows = (values, rows, axis) => (rows > 1 ? (rows - 1) * values[OF_AXIS[axis].spacing] / 2 : 0);
const halfOfHoles = (values, holes, axis) => halfOfRows(values, mostRows(holes, axis), axis);

// Eight holes: three by three without the one in the middle, which no pattern of rows has.
export function ring(spacingX, spacingY) {
  const places = [-1, 0, 1].flatMap((x) => [-1, 0, 1].map((y) => ({ x_mm: x * spacingX, y_mm: y * spacingY })));
  return places.filter(({ x_mm: x, y_mm: y }) => x !== 0 || y !== 0);
}

// Distances from the middle of the plate; null where there is no edge.
export function fromMiddle({ view, answers, measured, values, holes }) {
  const added = { middle: () => 0, hole: (axis) => halfOfHoles(values, holes, axis), plate: (axis) => values[OF_AXIS[axis].size] / 2 };
  return Object.fromEntries(SIDES.map((side) => {
    const given = answers[side];
    return [side, given === null ? null : given + added[measured ?? "middle"](axisOf(view, side))];
  }));
}

// What cannot be on the site that was described, with the field to look at.
export function impossible({ view, answers, measured, values: told, holes }) {
  const found = [];
  // Nothing is larger or smaller than a figure that is missing.
  const values = Object.fromEntries(Object.values(OF_AXIS).flatMap(Object.values).map((id) => [id, told[id] ?? NaN]));
  const edges = Object.values(answers).some((one) => one !== null);
  if (edges && measured === "hole" && holes === "any") found.push({ id: "holes", detail: say("you measured the edges from the nearest hole, so say how many holes there are; or measure from the middle of the plate") });
  for (const [axis, { size, spacing, section }] of Object.entries(OF_AXIS)) {
    const plate = values[size];
    if (hasSpacing(holes, axis) && (mostRows(holes, axis) - 1) * values[spacing] >= plate) found.push({ id: spacing, detail: say("the holes would lie beyond the plate, which is {plate} mm here: they must be closer than that", { plate }) });
    if (values[section] > plate) found.push({ id: section, detail: say("it would be larger than the plate, which is {plate} mm here", { plate }) });
  }
  if (found.length) return found;
  const middle = fromMiddle({ view, answers, measured, values, holes });
  for (const side of SIDES.filter((one) => middle[one] !== null)) {
    const { size, spacing } = OF_AXIS[axisOf(view, side)];
    const far = { distance: middle[side], side: view.words[side] };
    const hole = middle[side] - halfOfHoles(values, holes, axisOf(view, side));
    const over = values[size] / 2 - middle[side];
    if (hole <= 0) found.push({ id: spacing, side, detail: say("the holes would lie beyond the concrete: the concrete ends {distance} mm from the middle of the plate ({side})", far) });
    else if (over > 0) found.push({ id: size, side, detail: say("the plate would stick out {over} mm over the edge: the concrete ends {distance} mm from the middle of the plate ({side}), and half of the plate is {half} mm", { ...far, over, half: values[size] / 2 }) });
  }
  return found;
}

// Sentences: how far the nearest hole is from each edge, for one row of holes and for two.
export function nearestHoles({ view, answers, measured, values, holes }) {
  if (measured === "hole" && holes === "any") return [];
  const middle = fromMiddle({ view, answers, measured, values, holes });
  return SIDES.filter((side) => middle[side] !== null).map((side) => {
    const axis = axisOf(view, side);
    const [one, two] = counts(holes, axis).map((rows) => middle[side] - halfOfRows(values, rows, axis));
    const known = { side: view.words[side], one, two, middle: middle[side] };
    if (two === undefined) return say("Nearest hole to the edge {side}: {one} mm (middle of the plate: {middle} mm).", known);
    return say("Nearest hole to the edge {side}: {one} mm with the holes in the middle, {two} mm with two rows (middle of the plate: {middle} mm).", known);
  });
}

// The same of one choice, from its own places of fasteners.
export function nearestFasteners(view, edges, positions) {
  return SIDES.filter((side) => typeof edges?.[`${view.edges[side]}_mm`] === "number").map((side) => {
    const [axis, way] = view.edges[side].split("_");
    const reach = Math.max(...positions.map((place) => (way === "plus" ? 1 : -1) * place[`${axis}_mm`]));
    return say("{distance} mm to the edge {side}", { distance: edges[`${view.edges[side]}_mm`] - reach, side: view.words[side] });
  });
}
