// The service's English in the words of the page, where an answer does not give its codes with figures yet.

import { READER, percent, takes } from "./numbers.js";
import { SIDES } from "./sides.js";

const MARK = new Intl.NumberFormat(READER).formatToParts(1.5).find(({ type }) => type === "decimal").value;
// A clause or an edition is no figure: its points stay.
const NUMBERED = /(\bEN \d[\d-]*(?::\d+)?(?:\+\w+:\d+)?,? ?(?:clause |Table |Annex )?[A-Z]?\d+(?:\.\d+)+|\b(?:clause|Table|Annex|version|rulebook) [A-Z]?\d+(?:\.\d+)+)|(?<![\d.,\w])(\d+)\.(\d+)(?![\d.]*\.\d|\w)/gi;

// Words of the API with their figures as the reader writes them.
function localised(text) {
  return text.replace(NUMBERED, (whole, numbered, before, after) => (numbered ? whole : `${before}${MARK}${after}`));
}

const WAYS = (view) => (view?.looking ? { far: "ahead", near: "back", left: "to the left", right: "to the right" } : { far: "up", near: "down", left: "to the left", right: "to the right" });

function inWords(name) {
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
export function plainly({ view, titles, inputs, question: questions, takenFor }, text) {
  const sideOf = (axis, way) => SIDES.find((side) => view?.edges[side] === `${axis}_${way}`);
  const edge = (axis, way) => view?.words[sideOf(axis, way)] ?? "on one side";
  const going = (sign, axis) => WAYS(view)[sideOf(axis, sign === "+" ? "plus" : "minus")] ?? "one way";
  const value = (word) => (titles[word] ? inSentence(titles[word]) : word.replaceAll("_", " "));
  const listed = (words) => words.split(", ").map(value).join(", ");
  const labels = new Map(inputs.map(({ name, crew }) => [name, crew.label]));
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
    [/with a stand-off a fastener would be in compression, which (?:its assessment does not cover|is not assessed)/gi, "the plate is taken not to bear on the grout, so that a fastener would be pressed into the concrete, which is not assessed"],
    [/(?:fixture, grout and stand-off together|fixture, grout and stand-off)/g, "plate and grout together"],
    [/stand-off or grout|grout or stand-off/g, "grout"],
    [/\bwith a stand-off\b/gi, "raised off the concrete"],
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

  const said = SAYINGS.reduce((so, [pattern, words]) => so.replace(pattern, words), text)
      .replace(/#\/[\w/]+/g, (pointer) => (questions(pointer) ? `“${questions(pointer)}”` : "an answer"))
      .replace(/\b[a-z][a-z0-9]*(?:[_-][a-z0-9]+)+\b/g, (word) => (word.includes("_") || titles[word] ? machineWord(word) : word));
  return localised(said);
}
