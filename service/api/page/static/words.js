// Words of the API in words of the page: where things lie as one sees them, and no name that only programs use.

import { localised, takes } from "./numbers.js";

export const SIDES = ["top", "bottom", "left", "right"];

const SLAB = {
  edges: { top: "x_plus", bottom: "x_minus", left: "y_plus", right: "y_minus" },
  words: { top: "ahead of you", bottom: "behind you", left: "to your left", right: "to your right" },
  ways: { top: "ahead", bottom: "back", left: "to the left", right: "to the right" },
  along: { x: "from front to back", y: "from left to right" },
};
export const SURFACES = {
  top_of_slab: SLAB,
  soffit: { ...SLAB, edges: { ...SLAB.edges, left: "y_minus", right: "y_plus" } },
  vertical_face: {
    edges: { top: "y_plus", bottom: "y_minus", left: "x_minus", right: "x_plus" },
    words: { top: "above", bottom: "below", left: "to the left", right: "to the right" },
    ways: { top: "up", bottom: "down", left: "to the left", right: "to the right" },
    along: { x: "from left to right", y: "from bottom to top" },
  },
};

// Where to stand for the questions, and the way that is looked in few words, for the sheet.
const STANDS = {
  top_of_slab: ["Stand on the concrete and face the way that x points in your calculation.", "looking along x"],
  soffit: ["Stand under the fixing and face the way that x points in your calculation.", "looking along x"],
  vertical_face: ["Stand in front of the wall and look at it.", "looking at the wall"],
};
const THINGS = {
  guardrail_post: {
    top_of_slab: ["Stand on the concrete and look outwards over the edge, the way people may push the railing.", "looking outwards"],
    vertical_face: ["Look at the face of the concrete from in front of it.", "looking at the face"],
  },
  racking_upright: { top_of_slab: ["Stand on the concrete and look across the rack, towards the other upright of the frame.", "looking across the rack"] },
  soffit_hanger: { soffit: ["Stand under the fixing and look along the pipe, or any one way: keep it for all questions.", "looking along the pipe"] },
  pipe_clamp: {
    soffit: ["Stand under the fixing and look along the pipe.", "looking along the pipe"],
    vertical_face: ["Stand in front of the wall and look at it.", "looking at the wall"],
  },
  machine_base: { top_of_slab: ["Stand at one end of the base and look along it. Ahead is the way you look: keep this place for all questions.", "looking along the base"] },
  eyebolt: {
    top_of_slab: ["Stand on the concrete and look any one way: keep it for all questions.", "looking that way"],
    soffit: ["Stand under the concrete and look any one way: keep it for all questions.", "looking that way"],
    vertical_face: ["Stand in front of the wall and look at it.", "looking at the wall"],
  },
};
export const stand = (thing, surface) => (THINGS[thing]?.[surface] ?? STANDS[surface])[0];

// What the sheet calls each side, with the way one looks, as the crew does not know where the page had people stand.
export function sideNames(thing, surface) {
  const view = SURFACES[surface];
  const [, looking] = THINGS[thing]?.[surface] ?? STANDS[surface];
  return Object.fromEntries(SIDES.map((side) => [view.edges[side], `${view.words[side]}, ${looking}`]));
}

// How the axes of somebody's calculation have to lie for the answers of this page.
export const AXES = {
  top_of_slab: "Face the way that x points: y has to point to your left, and z up, out of the concrete.",
  soffit: "Stand under it and face the way that x points: y has to point to your right, and z down, out of the concrete.",
  vertical_face: "Look at the wall: x has to point to the right, y up, and z out of the wall towards you.",
};

// Questions whose answer is a direction, in words of the thing; `first` says whether one is asked at once or folded
// away where what the API says of it does not tell.
export const OWN_WORDS = {
  guardrail_post: { mass_kg: { first: true } },
  wall_bracket: { brackets: { first: true } },
  soffit_hanger: { hangers: { first: true } },
  pipe_clamp: { mass_kg: { first: true }, mass_per_metre_kg: { first: true }, outer_diameter_mm: { first: false }, wall_mm: { first: false } },
  machine_base: {
    machine: { first: true },
    torque_knm: { first: true },
    centre_x_mm: { label: "Centre of mass ahead of the middle of the plate", meaning: "Seen from where you stand; with a minus where it lies towards you." },
    centre_y_mm: { label: "Centre of mass to the left of the middle of the plate", meaning: "Seen from where you stand; with a minus where it lies to the right." },
  },
  eyebolt: {
    mass_kg: { first: true },
    lifting: { first: true },
    azimuth_degrees: { meaning: "Which way the pull leans. On or under a slab 0 is ahead of you, and 90 to your left on top, to your right underneath. On a wall 0 is to the right and 90 is up." },
  },
};
// Questions that only some answers make needed.
export const ONLY_WHERE = {
  guardrail_post: { post_off_face_mm: ["mounting", "side"] },
};
// Where one has to stand already for the questions about the loads.
export const STANDS_FOR_LOADS = ["machine_base"];

export function inWords(name) {
  const bare = name.replace(/_(mm|kg|kn|knm|degrees|kn_per_m)$/, "").replaceAll("_", " ");
  return bare.charAt(0).toUpperCase() + bare.slice(1);
}

const lower = (text) => text.charAt(0).toLowerCase() + text.slice(1);

// "Aggressive: wet well, splash" becomes "aggressive (wet well, splash)".
function inSentence(title) {
  const [short, more] = title.split(/: (.*)/s);
  return more ? `${lower(short)} (${more})` : `“${lower(short)}”`;
}

// What is known of the words: titles of families and of what a question takes, the inputs of the thing, the question that
// a pointer leads to, and whether a word was taken because its question was answered with “Not known”.
export function speaker({ surface, titles, inputs, questions, takenFor }) {
  const view = SURFACES[surface];
  const sideOf = (axis, way) => SIDES.find((side) => view?.edges[side] === `${axis}_${way}`);
  const edge = (axis, way) => view?.words[sideOf(axis, way)] ?? "on one side";
  const going = (sign, axis) => view?.ways[sideOf(axis, sign === "+" ? "plus" : "minus")] ?? "one way";
  const value = (word) => (titles[word] ? inSentence(titles[word]) : word.replaceAll("_", " "));
  const listed = (words) => words.split(", ").map(value).join(", ");
  const labels = new Map(inputs.map(({ name, label }) => [name, label]));
  const question = (path) => questions(`#/${path.replaceAll(".", "/")}`);

  const SAYINGS = [
    [/Edges not given \(([^)]*)\) are out of reach: at least ([\d.]+) mm from any fastener/g, (_, edges, mm) => `You answered “No” for the edge ${edges}: it must then be at least ${mm} mm from every fastener`],
    [/; what stops each of the others is under rejected/g, "; what stops the others stands below"],
    [/; name it in limits/g, ""],
    [/; name one under rulebook to use it all the same/g, ": tell whoever runs the service"],
    [/utilisation ([\d.]+) of 1 allowed/g, (_, used) => takes(Number(used))],
    [/not known, so taken as:? ([a-z_]+|I+)\b/g, (_, word) => `not known, so taken as ${value(word)}`],
    [/not known: taken as ([a-z_]+|I+)$/g, (_, word) => `not known, so taken as ${value(word)}`],
    [/\basked(?: is|:) ([a-z_]+|I+)\b/g, (_, word) => (word === "not" ? "asked: not" : `${takenFor(word) ? "not known, so taken as" : "you said"} ${value(word)}`)],
    [/(?:asked(?: is|:) )?not shown by the request/g, "nobody has said or shown that it is so"],
    [/(exposures|holes that are|temperature ranges): ((?:[a-z_]+|I+)(?:, (?:[a-z_]+|I+))*)/g, (_, what, words) => `${what}: ${listed(words)}`],
    [/Knowing that ([a-z_.]+) is ([\w]+(?: or \w+)*)/g, (_, path, words) => `${question(path) ? `“${question(path)}” answered with` : "Knowing that it is"} ${words === "false" ? "no" : words.split(" or ").map(value).join(" or ")}`],
    [/the ([xy]) (minus|plus) edge/gi, (_, axis, way) => `the edge ${edge(axis, way)}`],
    [/\bat edge ([xy]) (minus|plus)\b/g, (_, axis, way) => `at the edge ${edge(axis, way)}`],
    [/\b([xy])_(minus|plus)(?:_mm)?\b/g, (_, axis, way) => edge(axis, way)],
    [/\bto ([+−-])([xy])\b(?: \((?:along|across)\))?/g, (_, sign, axis) => going(sign, axis)],
    [/\b(along|against) ([xy])\b/g, (_, way, axis) => going(way === "along" ? "+" : "-", axis)],
    [/^x points along the pipe/i, "The pipe runs the way you look"],
    [/^x points across the rack to the other upright of the frame/i, "You look across the rack to the other upright of the frame"],
    [/^x runs along the base as it is drawn and y across it, to the left of x seen from above/i, "You look along the base, as it is drawn"],
    [/^([a-z_]+) not given:/i, (whole, name) => (labels.has(name.toLowerCase()) ? `“${labels.get(name.toLowerCase())}” not given:` : whole)],
    [/from the origin/g, "from the middle of the plate"],
    [/\bthe origin\b/g, "the middle of the plate"],
    [/\bh_ef\b/g, "effective embedment"],
    [/\bf_ck\b/g, "a strength of"],
    [/\bc_min\b/g, "the least edge distance"],
    [/\bs_min\b/g, "the least spacing"],
    [/\bh_min\b/g, "the least thickness"],
  ];
  const machineWord = (word) => (labels.has(word) ? `“${labels.get(word)}”` : value(word));

  function plain(text) {
    const said = SAYINGS.reduce((so, [pattern, words]) => so.replace(pattern, words), text)
      .replace(/#\/[\w/]+/g, (pointer) => (questions(pointer) ? `“${questions(pointer)}”` : "an answer"))
      .replace(/\b[a-z][a-z0-9]*(?:[_-][a-z0-9]+)+\b/g, (word) => (word.includes("_") || titles[word] ? machineWord(word) : word));
    return localised(said);
  }
  return { plain, value, edge: (name) => edge(...name.split("_")) };
}
