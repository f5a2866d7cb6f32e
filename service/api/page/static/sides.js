// Where things lie as one sees them: the sides of the concrete, and where to stand for them.

import { say, told } from "./words.js";

// The sides of the concrete as one is asked for them; far is ahead or, at a wall, above.
export const SIDES = ["far", "near", "left", "right"];
// Within this an edge is asked for. The service reckons with edges this far off at most; see its tests.
export const ASKED_WITHIN_MM = 3000;

const slab = () => ({
  edges: { far: "x_plus", near: "x_minus", left: "y_plus", right: "y_minus" },
  words: { far: say("ahead of you"), near: say("behind you"), left: say("to your left"), right: say("to your right") },
  along: { x: say("from front to back"), y: say("from left to right") },
  seen: say("Seen from above, with the way you look to the right, as on the sheet."),
  looking: true,
});
const VIEWS = {
  top_of_slab: slab,
  soffit: () => ({
    ...slab(),
    edges: { far: "x_plus", near: "x_minus", left: "y_minus", right: "y_plus" },
    seen: say("Seen from below, as you look up at it, with the way you face to the right, as on the sheet."),
  }),
  vertical_face: () => ({
    edges: { far: "y_plus", near: "y_minus", left: "x_minus", right: "x_plus" },
    words: { far: say("above"), near: say("below"), left: say("to the left"), right: say("to the right") },
    along: { x: say("from left to right"), y: say("from bottom to top") },
    seen: say("Seen from in front, as you look at it, as on the sheet."),
    looking: false,
  }),
};
export const viewOf = (surface) => VIEWS[surface]?.();

// Where an edge lies in a drawing that is seen from the fixture, x to the right and y up: that of the page and the sheet's.
const PLACES = { x_plus: "right", x_minus: "left", y_plus: "top", y_minus: "bottom" };
export const placeOf = (view, side) => PLACES[view.edges[side]];

// The side of an edge by its name in the API, as one sees it.
export const sideOf = (view, edge) => view?.words[SIDES.find((side) => view.edges[side] === edge)] ?? say("on one side");

// Where to stand for forces that are known, and the way that is looked in few words; a load model says its own.
const STANDS = {
  top_of_slab: () => ({ stand: say("Stand on the concrete and face the way that x points in your calculation."), looking: say("looking along x") }),
  soffit: () => ({ stand: say("Stand under the fixing and face the way that x points in your calculation."), looking: say("looking along x") }),
  vertical_face: () => ({ stand: say("Stand in front of the wall and look at it."), looking: say("looking at the wall") }),
};
export function standing(model, surface) {
  const own = model.surfaces?.find(({ name }) => name === surface);
  return own ? { stand: told(own.stand), looking: told(own.looking) } : STANDS[surface]();
}

// What the sheet calls each side, with the way one looks, as the crew does not know where the page had people stand.
export function sideNames(model, surface) {
  const view = viewOf(surface);
  const { looking } = standing(model, surface);
  return Object.fromEntries(SIDES.map((side) => [view.edges[side], say("{side}, {looking}", { side: view.words[side], looking })]));
}

// How the axes of somebody's calculation have to lie for the answers of this page.
export const axesOf = (surface) => ({
  top_of_slab: say("Face the way that x points: y has to point to your left, and z up, out of the concrete."),
  soffit: say("Stand under it and face the way that x points: y has to point to your right, and z down, out of the concrete."),
  vertical_face: say("Look at the wall: x has to point to the right, y up, and z out of the wall towards you."),
}[surface] ?? "");
