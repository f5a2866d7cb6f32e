// Form fields: made of what the API lists, read, and marked with what is wrong.

import { KN_PER_KG, read, show } from "./numbers.js";
import { say, told } from "./words.js";

export function make(tag, attributes = {}, ...content) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...content);
  return node;
}

export const byId = (id) => document.getElementById(id);

export function fill(select, entries) {
  select.replaceChildren(...entries.map(({ value, title }) => make("option", { value }, value === "unknown" ? say("Not known") : title ?? value)));
  if (entries.some(({ value }) => value === "unknown")) select.value = "unknown";
}

export function option(group, value, label, hint) {
  const id = `${group}-${value}`;
  const input = make("input", { type: "radio", id, name: group, value, "aria-describedby": hint ? `${id}-hint` : null });
  const parts = [input, make("label", { for: id }, label)];
  if (hint) parts.push(make("p", { class: "hint", id: `${id}-hint` }, hint));
  return make("div", { class: "option" }, ...parts);
}

// The questions of a load model: what has to be told first, the rest folded.
export function ofInputs(inputs) {
  const first = inputs.filter(({ crew }) => crew.first).map(ofInput);
  const rest = inputs.filter(({ crew }) => !crew.first).map(ofInput);
  return rest.length ? [...first, make("details", { class: "more" }, make("summary", {}, say("More, where you know it")), ...rest)] : first;
}

function ofInput(asked) {
  const id = `input-${asked.name}`;
  const hints = [told(asked.crew.hint)];
  if (asked.kind !== "word") hints.push(say("From {least} to {most}.", { least: show(asked.minimum, 9), most: `${show(asked.maximum, 9)}${unitWords(asked.unit)}` }));
  if (asked.crew.left_empty && !alwaysNeeded(asked)) hints.push(say("Left empty: {taken}.", { taken: told(asked.crew.left_empty) }));
  const label = make("label", { for: id }, told(asked.crew.label));
  if (asked.kind !== "word" && asked.unit !== "1") label.append(make("span", { class: "unit" }, ` (${asked.unit})`));
  const common = { id, name: asked.name, "data-pointer": `#/${asked.name}`, "aria-describedby": `${id}-hint`, "aria-required": asked.required ? "true" : null };
  return make("div", { class: "field" }, label, make("p", { class: "hint", id: `${id}-hint` }, hints.join(" ")), entry(asked, common));
}

// Where it is asked at all it has to be given.
const alwaysNeeded = ({ needed_where: needed, only_where: only }) => needed && JSON.stringify(needed) === JSON.stringify(only);

function unitWords(unit) {
  return unit === "1" ? "" : ` ${unit}`;
}

function entry(asked, common) {
  if (asked.kind === "word") {
    const select = make("select", common);
    fill(select, [{ value: "", title: asked.required ? say("Choose") : say("No answer") }, ...asked.allowed.map(({ value, title }) => ({ value, title: told(title) }))]);
    select.value = "";
    return select;
  }
  const bounds = { "data-minimum": asked.minimum, "data-maximum": asked.maximum, "data-whole": asked.kind === "whole_number" ? "" : null };
  const input = make("input", { ...common, ...bounds, inputmode: asked.minimum < 0 ? "text" : "decimal", autocomplete: "off", "data-number": "", "data-unit": asked.unit });
  return withUnit(input, told(asked.crew.label));
}

// Weight and force may be given in kg or kN; the unit stands beside the figure.
const OTHER_UNIT = { kN: "kg", kg: "kN", "kg/m": "kN/m" };

function withUnit(input, words) {
  const unit = input.dataset.unit;
  const other = OTHER_UNIT[unit];
  if (!other) return input;
  const select = make("select", { id: `${input.id}-unit`, "aria-label": say("Unit of: {question}", { question: words }), "data-unit-of": input.id });
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
    if (input.getAttribute("aria-required")) throw new Error(say("must be given"));
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
  if (whole !== undefined && !Number.isInteger(value)) throw new Error(say("“{typed}” was given; only whole numbers are taken", { typed: input.value.trim() }));
  if (value >= least && value <= most) return;
  const range = { typed: input.value.trim(), least: show(least / times, 9), most: `${show(most / times, 9)}${unitWords(unit)}` };
  throw new Error(say("“{typed}” was given; what can be calculated is from {least} to {most}", range));
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
    if (!away(select) && !select.value) wrong.push({ field: select, detail: say("must be given") });
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
  return (label?.firstChild?.textContent ?? "").trim();
}

// Leads to a question on whichever step it stands.
export function goTo(field) {
  const control = controlOf(field);
  unfold(control);
  control.focus();
}

// The field that an error of the API is about: the one with the longest pointer that leads to it. Forces are asked once,
// whether they are sent as a load case or as an action.
export function fieldAt(pointer) {
  for (let at = (pointer ?? "").replace("#/actions/", "#/load_cases/"); at.length > 1; at = at.slice(0, at.lastIndexOf("/"))) {
    const field = [...document.querySelectorAll("[data-pointer]")].find((one) => one.dataset.pointer === at && !one.disabled);
    if (field) return field;
  }
  return null;
}
