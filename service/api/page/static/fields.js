// Form fields: made of what the API lists, read, and marked with what is wrong.

import { KN_PER_KG, localised, read, show } from "./numbers.js";
import { inWords } from "./words.js";

export function make(tag, attributes = {}, ...content) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...content);
  return node;
}

export const byId = (id) => document.getElementById(id);

const valueInWords = (value) => (value === "unknown" ? "Not known" : inWords(value));

export function fill(select, entries) {
  select.replaceChildren(...entries.map(({ value, title }) => make("option", { value }, title ?? valueInWords(value))));
  if (entries.some(({ value }) => value === "unknown")) select.value = "unknown";
}

export function option(group, value, label, hint) {
  const id = `${group}-${value}`;
  const input = make("input", { type: "radio", id, name: group, value, "aria-describedby": hint ? `${id}-hint` : null });
  const parts = [input, make("label", { for: id }, label)];
  if (hint) parts.push(make("p", { class: "hint", id: `${id}-hint` }, hint));
  return make("div", { class: "option" }, ...parts);
}

// Words of the API with the names of its inputs as the form has them.
function named(words, inputs) {
  const one = (text, { name, label }) => text.replace(new RegExp(`\\b${name}\\b`, "g"), `“${label}”`);
  return inputs.filter(({ name }) => name.includes("_")).reduce(one, words);
}

// Axes are for calculations: whoever stands at the thing knows the words before them.
const withoutAxes = (text) => text.replace(/ \([xyz]\)/g, "").replace(/\bthe origin\b/g, "the middle of the plate");

// An input of a load model with the words that the page asks it in.
export function worded(asked, own = {}) {
  const unit = asked.unit === "kg" && asked.name.includes("per_metre") ? "kg/m" : asked.unit;
  const allowed = asked.allowed?.map(({ value, title }) => ({ value, title: withoutAxes(title ?? valueInWords(value)) }));
  const title = withoutAxes(asked.title ?? inWords(asked.name)).replace(new RegExp(`, (?:${asked.unit}$|0 to 1(?=$|,))`), "");
  return { ...asked, unit, allowed, first: own.first ?? mayMatter(asked), label: own.label ?? title, meaning: own.meaning ?? withoutAxes(asked.meaning) };
}

// Whether the answer has to be given or is one of those that stand in for another.
const mayMatter = ({ required, absent, meaning }) => required || /must be given|refused/.test(absent ?? "") || /must be given|needed/.test(meaning);

// The questions of a load model: what has to be told first, the rest folded.
export function ofInputs(inputs) {
  const first = inputs.filter((asked) => asked.first);
  const rest = inputs.filter((asked) => !asked.first);
  const fields = (some) => some.map((asked) => ofInput(asked, inputs));
  if (!rest.length) return fields(first);
  return [...fields(first), make("details", { class: "more" }, make("summary", {}, `More, where you know it (${rest.length} ${rest.length === 1 ? "question" : "questions"})`), ...fields(rest))];
}

function ofInput(asked, all) {
  const id = `input-${asked.name}`;
  const hints = [named(asked.meaning, all)];
  if (asked.kind !== "word") hints.push(`From ${show(asked.minimum, 9)} to ${show(asked.maximum, 9)}${unitWords(asked.unit)}.`);
  if (asked.absent) hints.push(`${withoutAxes(named(leftOut(asked.absent), all))}.`);
  const label = make("label", { for: id }, asked.label);
  if (asked.kind !== "word" && asked.unit !== "1") label.append(make("span", { class: "unit" }, ` (${asked.unit})`));
  const common = { id, name: asked.name, "data-pointer": `#/${asked.name}`, "aria-describedby": `${id}-hint`, "aria-required": asked.required ? "true" : null };
  return make("div", { class: "field" }, label, make("p", { class: "hint", id: `${id}-hint` }, localised(hints.join(" "))), entry(asked, common));
}

// What leaving an answer out means; how a service puts it is of no use beside a question.
function leftOut(absent) {
  if (/^refused /.test(absent)) return absent.replace(/^refused/, "Needed");
  if (/ must be given$/.test(absent)) return `Left empty: ${absent}`;
  return `Left empty: ${absent.replace(/what costs most in the rulebook/, "the least favourable of these is taken").replace(/which costs more/, "which loads it more").replace(/^0, /, "0 is taken, ")}`;
}

function unitWords(unit) {
  return unit === "1" ? "" : ` ${unit}`;
}

function entry(asked, common) {
  if (asked.kind === "word") {
    const select = make("select", common);
    fill(select, [{ value: "", title: asked.required ? "Choose" : "No answer" }, ...asked.allowed]);
    select.value = "";
    return select;
  }
  const bounds = { "data-minimum": asked.minimum, "data-maximum": asked.maximum, "data-whole": asked.kind === "whole_number" ? "" : null };
  const input = make("input", { ...common, ...bounds, inputmode: asked.minimum < 0 ? "text" : "decimal", autocomplete: "off", "data-number": "", "data-unit": asked.unit });
  return withUnit(input, asked.label);
}

// Weight and force may be given in kg or kN; the unit stands beside the figure.
const OTHER_UNIT = { kN: "kg", kg: "kN", "kg/m": "kN/m" };

function withUnit(input, words) {
  const unit = input.dataset.unit;
  const other = OTHER_UNIT[unit];
  if (!other) return input;
  const select = make("select", { id: `${input.id}-unit`, "aria-label": `Unit of: ${words}`, "data-unit-of": input.id });
  fill(select, [{ value: unit, title: unit }, { value: other, title: other }]);
  const both = make("div", { class: "entry" });
  both.append(input, select);
  return both;
}

export function place(input, words) {
  const mark = document.createComment("");
  input.replaceWith(mark);
  mark.replaceWith(withUnit(input, words));
}

const chosenUnit = (input) => document.querySelector(`[data-unit-of="${input.id}"]`)?.value ?? input.dataset.unit;

// The figure in the API's unit, null where the field is empty. Throws words.
export function figure(input) {
  const unit = chosenUnit(input);
  const value = read(input.value, unit);
  if (value === null) {
    if (input.getAttribute("aria-required")) throw new Error("must be given");
    return null;
  }
  const times = unit === input.dataset.unit ? 1 : unit.startsWith("kg") ? KN_PER_KG : 1 / KN_PER_KG;
  within(input, value * times, times, unit);
  return value * times;
}

// Holds a figure against what the API takes, and says it in the unit that was typed.
function within(input, value, times, unit) {
  const { minimum, maximum, whole } = input.dataset;
  const least = minimum === undefined ? -Infinity : Number(minimum);
  const most = maximum === undefined ? Infinity : Number(maximum);
  if (whole !== undefined && !Number.isInteger(value)) throw new Error(`“${input.value.trim()}” was given; only whole numbers are taken`);
  if (value >= least && value <= most) return;
  const range = Number.isFinite(most) ? `from ${show(least / times, 9)} to ${show(most / times, 9)}` : `at least ${show(least / times, 9)}`;
  throw new Error(`“${input.value.trim()}” was given; what can be calculated is ${range}${unitWords(unit)}`);
}

export const picked = (group) => document.querySelector(`input[name="${group}"]:checked`)?.value ?? null;

export function pick(group, value) {
  byId(`${group}-${value}`).checked = true;
}

// Every figure of a step, or errors with the field each of them stands at.
export function figures(step) {
  const values = {};
  const wrong = [];
  const away = (one) => one.disabled || (one.closest("[hidden]") && one.closest("[hidden]") !== step);
  for (const select of step.querySelectorAll("select[aria-required]")) {
    if (!away(select) && !select.value) wrong.push({ field: select, detail: "must be given" });
  }
  for (const input of step.querySelectorAll("[data-number]")) {
    if (away(input)) continue;
    try {
      values[input.name] = figure(input);
    } catch (error) {
      wrong.push({ field: input, detail: error.message });
    }
  }
  return { values, wrong };
}

const CONTROLS = "input, select";

function controlOf(field) {
  return field.matches(CONTROLS) ? field : field.querySelector(CONTROLS);
}

export function unmark(root) {
  for (const words of root.querySelectorAll(".error")) words.remove();
  for (const field of root.querySelectorAll("[aria-invalid]")) clear(field);
}

function clear(control) {
  control.removeAttribute("aria-invalid");
  const rest = (control.getAttribute("aria-describedby") ?? "").split(" ").filter((id) => id && !id.endsWith("-error"));
  if (rest.length) control.setAttribute("aria-describedby", rest.join(" "));
  else control.removeAttribute("aria-describedby");
}

// Takes away what was said of an answer that is being given anew.
export function unmarkOne(control) {
  const group = control.type === "radio" ? document.getElementsByName(control.name) : [byId(control.dataset.unitOf) ?? control];
  for (const one of group) {
    byId(`${one.id}-error`)?.remove();
    if (one.hasAttribute("aria-invalid")) clear(one);
  }
}

// What lies in a fold can't be seen, and can't take the focus.
function unfold(field) {
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
}

export function mark({ field, detail }) {
  const control = controlOf(field);
  unfold(control);
  const id = `${control.id}-error`;
  const earlier = byId(id);
  if (earlier) {
    earlier.textContent += `; ${detail}`;
    return control;
  }
  const words = make("p", { class: "error", id }, detail);
  if (field.matches("fieldset")) field.querySelector("legend").after(words);
  else (field.closest(".entry") ?? control).before(words);
  control.setAttribute("aria-invalid", "true");
  control.setAttribute("aria-describedby", `${control.getAttribute("aria-describedby") ?? ""} ${id}`.trim());
  return control;
}

export function nameOf(field) {
  const label = field.matches("fieldset") ? field.querySelector("legend") : field.closest(".field")?.querySelector("label");
  return (label?.textContent ?? "").replace(/\s+/g, " ").trim();
}

// Leads to a question on whichever step it stands.
export function goTo(field) {
  const control = controlOf(field);
  unfold(control);
  control.focus();
}

// The field that an error of the API is about: the one with the longest pointer that leads to it.
export function fieldAt(pointer) {
  for (let at = pointer ?? ""; at.length > 1; at = at.slice(0, at.lastIndexOf("/"))) {
    const field = [...document.querySelectorAll("[data-pointer]")].find((one) => one.dataset.pointer === at && !one.disabled);
    if (field) return field;
  }
  return null;
}
