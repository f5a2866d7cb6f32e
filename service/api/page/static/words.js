// Sentences: made of English that stands where it is used, or of a code, by the catalogue of the page's language.

import { show } from "./numbers.js";

let catalogue = { language: "en", codes: {}, names: {}, texts: {}, counted: {} };

export function learnWords(told) {
  catalogue = told;
}

const translated = (text) => catalogue.texts[text] ?? text;

// Puts figures into a template, numbers as the reader writes them; {name:.3g} says how many digits count.
function filled(template, figures) {
  return template.replace(/\{(\w+)(?::\.(\d+)g)?\}|\{\{|\}\}/g, (whole, name, digits) => (name ? figure(figures[name], Number(digits ?? 6)) : whole[0]));
}

function figure(value, digits) {
  if (Array.isArray(value)) return value.map((one) => figure(one, digits)).reduce((names, next) => filled(translated("{names}, {next}"), { names, next }));
  if (value === null || value === undefined) return translated("not known");
  return typeof value === "number" ? show(value, digits) : value;
}

// A sentence that stands in English where it is called, which is how the catalogues find it.
export const say = (template, figures = {}) => filled(translated(template), figures);

// The same where it depends on a number, which stands in it as {number}.
export function count(one, many, number, figures = {}) {
  const forms = catalogue.counted[one];
  const form = forms ? forms[new Intl.PluralRules(catalogue.language).select(number)] ?? forms.other : number === 1 ? one : many;
  return filled(form, { number, ...figures });
}

// A word of a list, such as a failure mode, by its name.
export const named = (list, word) => catalogue.names[list]?.[word] ?? word;

// A text of the API that the catalogue may have by its English, such as what a load model asks for.
export const told = (text) => translated(text);

// Parts of the catalogue that what an answer says may also come of: a thing to be fixed says it beside the fixing.
const BESIDE = {
  assumptions: ["load_model_assumptions"],
  cautions: ["load_model_cautions"],
  causes: ["requirements", "scope_limits"],
};

// The parts of the catalogue that the page needs.
export const PARTS = ["requirements", "scope_limits", "assumptions", "cautions", "reasons", "causes", "relaxations", "load_model_assumptions", "load_model_cautions", "load_model_steps"];

// What stands for a code of the API; a rulebook may bring a part of one, such as a site condition.
function entryOf(part, { code, figures = {} }) {
  const codes = Object.assign({}, ...[...(BESIDE[part] ?? []), part].map((one) => catalogue.codes[one]));
  return codes[code] ?? codes[Object.keys(codes).find((one) => one.includes("{") && filled(one, figures) === code)];
}

// Templates of a code with its figures, of which the first is taken whose figures are all there; what a rulebook says in
// words of its own stays as it is. `own` says words that the page knows better, such as a side as one sees it: of a word,
// its list, and whether it is one of several.
function made(templates, part, said, own = () => undefined) {
  const entry = entryOf(part, said);
  if (!entry) return said.text ?? said.detail;
  const word = (name, value, several) => (typeof value === "string" ? own(value, entry.terms[name], several) ?? named(entry.terms[name], value) : value);
  const given = Object.entries(said.figures).filter(([, value]) => value !== null && value?.length !== 0);
  const figures = Object.fromEntries(given.map(([name, value]) => [name, Array.isArray(value) ? value.map((one) => word(name, one, true)) : word(name, value, false)]));
  const template = entry[templates].find(({ asks }) => asks.every((name) => name in figures)) ?? entry[templates].at(-1);
  return filled(template.says, figures);
}

export const sentence = (...said) => made("sentences", ...said);

// What was taken, without what for.
export const short = (...said) => made("shorts", ...said);

export const upper = (words) => words.charAt(0).toUpperCase() + words.slice(1);
