// Words of the API in words of the page: where things lie as one sees them, and no name that only programs use.

import { localised, percent, takes } from "./numbers.js";

// The sides of the concrete as one is asked for them; far is ahead or, at a wall, above.
export const SIDES = ["far", "near", "left", "right"];
// Within this an edge is asked for. The service reckons with edges this far off at most; see its tests.
export const ASKED_WITHIN_MM = 3000;

const SLAB = {
  edges: { far: "x_plus", near: "x_minus", left: "y_plus", right: "y_minus" },
  words: { far: "ahead of you", near: "behind you", left: "to your left", right: "to your right" },
  ways: { far: "ahead", near: "back", left: "to the left", right: "to the right" },
  along: { x: "from front to back", y: "from left to right" },
  seen: "Seen from above, with the way you look to the right, as on the sheet.",
  looking: true,
};
export const SURFACES = {
  top_of_slab: SLAB,
  soffit: {
    ...SLAB,
    edges: { ...SLAB.edges, left: "y_minus", right: "y_plus" },
    seen: "Seen from below, as you look up at it, with the way you face to the right, as on the sheet.",
  },
  vertical_face: {
    edges: { far: "y_plus", near: "y_minus", left: "x_minus", right: "x_plus" },
    words: { far: "above", near: "below", left: "to the left", right: "to the right" },
    ways: { far: "up", near: "down", left: "to the left", right: "to the right" },
    along: { x: "from left to right", y: "from bottom to top" },
    seen: "Seen from in front, as you look at it, as on the sheet.",
    looking: false,
  },
};
// Where an edge lies in a drawing that is seen from the fixture, x to the right and y up: that of the page and the sheet's.
const PLACES = { x_plus: "right", x_minus: "left", y_plus: "top", y_minus: "bottom" };
export const placeOf = (view, side) => PLACES[view.edges[side]];

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
  soffit_hanger: {
    mass_kg: { label: "Mass on all hangers together", meaning: "A hanger is one plate with all its bolts or rods, not one rod. All that hangs on the hangers you count below." },
    hangers: { first: true, label: "Number of hangers", meaning: "How many plates share that mass. One plate with two rods is one hanger, not two." },
  },
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
// What a thing is called that shares a mass with others, with the question that counts them.
export const SHARED_BY = { soffit_hanger: ["hangers", "hanger"], wall_bracket: ["brackets", "bracket"] };
// Questions that only some answers make needed.
export const ONLY_WHERE = {
  guardrail_post: { post_off_face_mm: ["mounting", "side"] },
};
// Answers that have to be given where another one stands, and those of which one has to be given.
export const NEEDED = {
  guardrail_post: [
    { one: ["category", "line_load_kn_per_m"] },
    ...["fixing_below_floor_mm", "post_off_face_mm", "mass_kg"].map((name) => ({ one: [name], where: ({ mounting }) => mounting === "side" })),
  ],
  pipe_clamp: [
    { one: ["mass_kg", "mass_per_metre_kg", "outer_diameter_mm"] },
    { one: ["wall_mm"], where: ({ outer_diameter_mm: outer }) => typeof outer === "number" },
  ],
  machine_base: [{ one: ["shaft"], where: ({ torque_knm: torque }) => torque > 0 }],
  eyebolt: [{ one: ["mass_kg", "pull_kn"] }],
};
// What the service says of a thing in signs, in words.
const THING_WORDS = {
  machine_base: "A machine on a slab or plinth: its weight, its torque and what pushes it, and a force for what moves in it, each way along and across the base, up and down. Up and down are left out where they only press.",
};
export const thingWords = (model) => THING_WORDS[model.model] ?? model.words;
// Answers about the site that stand in the rulebook as one word.
export const SITE_WORDS = {
  torque_control: { calibrated_wrench: "With a calibrated torque wrench", impact_driver_set: "With an impact driver that is set for the size", by_feel: "By feel" },
  strength_evidence: { documented: "Test results of this very concrete, or cores taken beside the fixing", rebound_hammer: "A rebound hammer", drawings_only: "Only the drawings" },
  hole_cleaning: { verified: "A second person looks into each hole after cleaning", stated: "Whoever drills says so; nobody else looks" },
  installer: { trained: "Somebody trained for this kind of fastener", supervised: "Somebody not yet trained, watched by somebody who is" },
  drilling: { hammer: "Hammer drill", hollow_bit: "Hammer drill with a hollow bit that draws the dust off", diamond_core: "Diamond core drill" },
};
// One line beside each of two things that are taken for one another.
export const TOLD_APART = {
  soffit_hanger: "Anything that hangs straight down under a slab, by its weight alone.",
  pipe_clamp: "One support of a level pipe or duct, full, under a slab or on a wall, where something may also push along the pipe.",
};
// How what is fixed stands to the plate.
export const BESIDE_PLATE = { top_of_slab: "stands on", soffit: "hangs on", vertical_face: "is fixed to" };
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
  const answers = new Map(inputs.flatMap(({ allowed }) => (allowed ?? []).map(({ value: word, title }) => [word, title])));
  // Causes write the same words with spaces.
  const spaced = Object.keys(titles).filter((word) => word.includes("_")).map((word) => word.replaceAll("_", " ")).join("|");
  const question = (path) => questions(`#/${path.replaceAll(".", "/")}`);

  const SAYINGS = [
    [/Edges not given \(([^)]*)\) are out of reach: at least ([\d.]+) mm from any fastener/g, (_, edges, mm) => `You answered “No” for the edge ${edges}: it must then be at least ${mm} mm from every fastener`],
    [/; what stops each of the others is under rejected/g, ""],
    [/; name it in limits/g, ""],
    [/; name one under rulebook to use it all the same/g, ": tell whoever runs the service"],
    [/utilisation ([\d.]+) of 1 allowed/g, (_, used) => takes(Number(used))],
    [/: ([\d.]+) to ([\d.]+) times the resistance/g, (_, from, to) => `: the load takes ${percent(Number(from))} to ${percent(Number(to))} of what is allowed`],
    [/\breach(?:es)? ([\d.]+) times (?:its|the) resistance/g, (_, used) => `reaches ${percent(Number(used))} of what is allowed`],
    [/\bused to ([\d.]+)/g, (_, used) => `used to ${percent(Number(used))}`],
    [/with a stand-off a fastener would be in compression, which (?:its assessment does not cover|is not assessed)/gi, "the plate is taken not to bear on the mortar, so that a fastener would be pressed into the concrete, which is not assessed"],
    [/(?:fixture, grout and stand-off together|fixture, grout and stand-off)/g, "plate and mortar together"],
    [/stand-off or grout|grout or stand-off/g, "mortar"],
    [/\bwith a stand-off\b/gi, "raised off the concrete"],
    [/\b(g)rout\b/gi, (_, first) => (first === "G" ? "Mortar" : "mortar")],
    [/what costs most in the rulebook/g, "the least favourable that the rulebook lists"],
    [/the fixture is taken not to bear on it/g, "taken to carry nothing"],
    [/; [^;:]*: (?:GET|POST) \/v1\/[\w/-]+/g, ""],
    [/, by γ_G,stb in the working,/g, ""],
    [/^Temperature range not given/, "Temperature range not known"],
    [/must be given where ([a-z_]+) is ([a-z_]+)/g, (_, name, word) => `must be given where the answer to “${labels.get(name) ?? inWords(name)}” is “${answers.get(word) ?? inWords(word)}”`],
    [/\bleave ([a-z][a-z0-9_]+) out\b/g, (_, name) => `leave ${questions(`#/${name}`) ? `“${questions(`#/${name}`)}”` : "it"} empty`],
    [/not known, so taken as:? ([a-z_]+|I+)\b/g, (_, word) => `not known, so taken as ${value(word)}`],
    [/not known: taken as ([a-z_]+|I+)$/g, (_, word) => `not known, so taken as ${value(word)}`],
    ...(spaced ? [[new RegExp(`\\b(asked(?: is|:)|not known, so taken as:?) (${spaced})\\b`, "g"), (_, before, words) => `${before} ${words.replaceAll(" ", "_")}`]] : []),
    [/\basked(?: is|:) overhead\b/g, "you said that the holes are drilled upwards"],
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
    [/^overturning of D_k sideways about the origin/i, "overturning by what moves, when it pushes sideways"],
    [/, in place of γ_G,fav\b/g, ""],
    [/^x of the centre of mass/i, () => `centre of mass ${going("+", "x")} of the middle of the plate`],
    [/^y of the centre of mass/i, () => `centre of mass ${going("+", "y")} of the middle of the plate`],
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
