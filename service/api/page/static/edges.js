// From where somebody measured to the middle of the plate, and from there to the nearest hole: plain additions.

import { SIDES } from "./words.js";
import { show } from "./numbers.js";

const OF_AXIS = { x: { size: "plate-x", spacing: "spacing-x", section: "section-x", row: "row-x" }, y: { size: "plate-y", spacing: "spacing-y", section: "section-y", row: "row-y" } };

export const axisOf = (view, side) => view.edges[side].charAt(0);

// How many rows of holes may stand along an axis.
export function counts(holes, axis) {
  if (holes === "any") return [1, 2];
  return holes === "four" || holes === OF_AXIS[axis].row ? [2] : [1];
}

const halfOfHoles = (values, holes, axis) => (Math.max(...counts(holes, axis)) === 2 ? values[OF_AXIS[axis].spacing] / 2 : 0);

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
  if (edges && measured === "hole" && holes === "any") found.push({ id: "holes", detail: "you measured the edges from the nearest hole, so say how many holes there are; or measure from the middle of the plate" });
  for (const [axis, { size, spacing, section }] of Object.entries(OF_AXIS)) {
    const plate = values[size];
    if (Math.max(...counts(holes, axis)) === 2 && values[spacing] >= plate) found.push({ id: spacing, detail: `the holes would lie beyond the plate, which is ${show(plate)} mm here: they must be closer than that` });
    if (values[section] > plate) found.push({ id: section, detail: `it would be larger than the plate, which is ${show(plate)} mm here` });
  }
  if (found.length) return found;
  const middle = fromMiddle({ view, answers, measured, values, holes });
  for (const side of SIDES.filter((one) => middle[one] !== null)) {
    const { size, spacing } = OF_AXIS[axisOf(view, side)];
    const far = `the concrete ends ${show(middle[side])} mm from the middle of the plate (${view.words[side]})`;
    const hole = middle[side] - halfOfHoles(values, holes, axisOf(view, side));
    const over = values[size] / 2 - middle[side];
    if (hole <= 0) found.push({ id: spacing, side, detail: `the holes would lie beyond the concrete: ${far}` });
    else if (over > 0) found.push({ id: size, side, detail: `the plate would stick out ${show(over)} mm over the edge: ${far}, and half of the plate is ${show(values[size] / 2)} mm` });
  }
  return found;
}

// Sentences: how far the nearest hole is from each edge, for one row of holes and for two.
export function nearestHoles({ view, answers, measured, values, holes }) {
  if (measured === "hole" && holes === "any") return [];
  const middle = fromMiddle({ view, answers, measured, values, holes });
  return SIDES.filter((side) => middle[side] !== null).map((side) => {
    const axis = axisOf(view, side);
    const ofRows = counts(holes, axis).map((rows) => show(middle[side] - (rows === 2 ? values[OF_AXIS[axis].spacing] / 2 : 0)));
    const distance = ofRows.length === 1 ? `${ofRows[0]} mm` : `${ofRows[0]} mm with the holes in the middle, ${ofRows[1]} mm with two rows`;
    return `Nearest hole to the edge ${view.words[side]}: ${distance} (middle of the plate: ${show(middle[side])} mm).`;
  });
}

// The same of one choice, from its own places of fasteners.
export function nearestFasteners(view, edges, positions) {
  return SIDES.filter((side) => typeof edges?.[`${view.edges[side]}_mm`] === "number").map((side) => {
    const [axis, way] = view.edges[side].split("_");
    const reach = Math.max(...positions.map((place) => (way === "plus" ? 1 : -1) * place[`${axis}_mm`]));
    return `${show(edges[`${view.edges[side]}_mm`] - reach)} mm to the edge ${view.words[side]}`;
  });
}
