// Form fields: made of what the API lists, read, and marked with what is wrong.

import { KN_PER_KG, read, show } from "./numbers.js";

export function make(tag, attributes = {}, ...content) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...content);
  return node;
}

export const byId = (id) => document.getElementById(id);

export function inWords(name) {
  const bare = name.replace(/_(mm|kg|kn|knm|degrees|kn_per_m)$/, "").replaceAll("_", " ");
  return bare.charAt(0).toUpperCase() + bare.slice(1);
}

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
export function named(words, inputs) {
  const one = (text, { name }) => text.replace(new RegExp(`\\b${name}\\b`, "g"), `“${inWords(name)}”`);
  return inputs.filter(({ name }) => name.includes("_")).reduce(one, words);
}

// A field of a load model.
export function ofInput(asked, all) {
  const id = `input-${asked.name}`;
  const hints = [named(asked.meaning, all)];
  if (asked.kind !== "word") hints.push(`From ${show(asked.minimum, 9)} to ${show(asked.maximum, 9)}${unitWords(asked.unit)}.`);
  if (!asked.required) hints.push(`Left out: ${named(asked.absent, all)}.`);
  const label = make("label", { for: id }, inWords(asked.name));
  if (asked.kind !== "word" && asked.unit !== "1") label.append(make("span", { class: "unit" }, ` (${asked.unit})`));
  if (asked.default !== null) label.append(make("span", { class: "unit" }, " (may be left out)"));
  const common = { id, name: asked.name, "data-pointer": `#/${asked.name}`, "aria-describedby": `${id}-hint`, "aria-required": asked.required ? "true" : null };
  return make("div", { class: "field" }, label, make("p", { class: "hint", id: `${id}-hint` }, hints.join(" ")), entry(asked, common));
}

function unitWords(unit) {
  return unit === "1" ? "" : ` ${unit}`;
}

function entry(asked, common) {
  if (asked.kind === "word") {
    const select = make("select", common);
    const titled = asked.allowed.map(({ value, title }) => ({ value, title: title ?? valueInWords(value) }));
    fill(select, [{ value: "", title: asked.required ? "Choose" : "No answer" }, ...titled]);
    select.value = "";
    return select;
  }
  const input = make("input", { ...common, inputmode: "text", autocomplete: "off", "data-number": "", "data-unit": asked.unit });
  return withUnit(input);
}

// Weight and force may be given in kg or kN; the unit stands beside the figure.
export function withUnit(input) {
  const unit = input.dataset.unit;
  if (unit !== "kN" && unit !== "kg") return input;
  const select = make("select", { id: `${input.id}-unit`, "aria-label": `Unit of: ${inWords(input.name.replace("force-", ""))}`, "data-unit-of": input.id });
  const other = unit === "kN" ? "kg" : "kN";
  fill(select, [{ value: unit, title: unit }, { value: other, title: other }]);
  const both = make("div", { class: "entry" });
  both.append(input, select);
  return both;
}

export function place(input) {
  const mark = document.createComment("");
  input.replaceWith(mark);
  mark.replaceWith(withUnit(input));
}

// The figure in the API's unit, null where the field is empty. Throws words.
export function figure(input) {
  const value = read(input.value);
  const chosen = document.querySelector(`[data-unit-of="${input.id}"]`)?.value;
  if (value === null || !chosen || chosen === input.dataset.unit) return value;
  return chosen === "kg" ? value * KN_PER_KG : value / KN_PER_KG;
}

export const picked = (group) => document.querySelector(`input[name="${group}"]:checked`)?.value ?? null;

export function pick(group, value) {
  byId(`${group}-${value}`).checked = true;
}

// Every figure of a step, or errors with the field each of them stands at.
export function figures(step) {
  const values = {};
  const wrong = [];
  for (const input of step.querySelectorAll("[data-number]")) {
    if (input.closest("[hidden]") && input.closest("[hidden]") !== step) continue;
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
  for (const field of root.querySelectorAll("[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    const rest = (field.getAttribute("aria-describedby") ?? "").split(" ").filter((id) => id && !id.endsWith("-error"));
    if (rest.length) field.setAttribute("aria-describedby", rest.join(" "));
    else field.removeAttribute("aria-describedby");
  }
}

export function mark({ field, detail }) {
  const control = controlOf(field);
  const id = `${control.id}-error`;
  const words = make("p", { class: "error", id }, detail);
  if (field.matches("fieldset")) field.querySelector("legend").after(words);
  else (field.closest(".entry") ?? control).before(words);
  control.setAttribute("aria-invalid", "true");
  control.setAttribute("aria-describedby", `${control.getAttribute("aria-describedby") ?? ""} ${id}`.trim());
  return control;
}

// The field that an error of the API is about: the one with the longest pointer that leads to it.
export function fieldAt(pointer) {
  for (let at = pointer ?? ""; at.length > 1; at = at.slice(0, at.lastIndexOf("/"))) {
    const field = [...document.querySelectorAll("[data-pointer]")].find((one) => one.dataset.pointer === at && !one.disabled);
    if (field) return field;
  }
  return null;
}
