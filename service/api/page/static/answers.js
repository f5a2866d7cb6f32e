// Answers of the API in sentences with their figures.

import { make } from "./fields.js";
import { force, percent, show } from "./numbers.js";

const MODES = {
  steel_tension: "steel in tension", concrete_cone: "concrete cone breaking out", pull_out: "pull-out", bond: "bond of the resin with concrete cone",
  splitting: "splitting of the concrete", blow_out: "blow-out at the side", steel_shear: "steel in shear", steel_shear_lever_arm: "steel in shear with lever arm",
  pry_out: "pry-out", concrete_edge: "concrete edge breaking off", interaction_steel: "pull and shear together, steel",
  interaction_concrete: "pull and shear together, concrete", simplified_resultant: "pull and shear together, by tests on site",
};

const modeWords = (mode) => MODES[mode] ?? mode.replaceAll("_", " ");
const mm = (value) => `${show(value)} mm`;
const paragraph = (words) => make("p", {}, words);
const list = (lines) => make("ul", {}, ...lines.map((line) => make("li", {}, line)));
const upper = (words) => words.charAt(0).toUpperCase() + words.slice(1);
const sentence = (words) => (/[.!?]$/.test(words) ? upper(words) : `${upper(words)}.`);

export function part(title, lines) {
  return lines.length ? [make("h3", {}, title), list(lines.map(sentence))] : [];
}

function folded(title, lines) {
  return lines.length ? [make("details", {}, make("summary", {}, title), list(lines.map(sentence)))] : [];
}

const texts = (entries) => [...new Set(entries.map(({ text }) => text))];

function largest(cases, unit) {
  const most = (of) => Math.max(...cases.map(of));
  const pull = most((one) => one.normal_kn ?? 0);
  const press = most((one) => -(one.normal_kn ?? 0));
  const shear = most((one) => Math.hypot(one.shear_x_kn ?? 0, one.shear_y_kn ?? 0));
  const bending = most((one) => Math.hypot(one.moment_x_knm ?? 0, one.moment_y_knm ?? 0));
  const twisting = most((one) => Math.abs(one.torsion_knm ?? 0));
  const parts = [];
  if (pull > 0) parts.push(`a pull of up to ${force(pull, unit)}`);
  if (press > 0) parts.push(`a push towards the concrete of up to ${force(press, unit)}`);
  if (shear > 0) parts.push(`a force along the surface of up to ${force(shear, unit)}`);
  if (bending > 0) parts.push(`bending of up to ${show(bending, 3)} kNm`);
  if (twisting > 0) parts.push(`twisting of up to ${show(twisting, 3)} kNm`);
  return parts.join(", ");
}

function loadWords(answer, unit) {
  const kind = answer.load_cases[0].kind === "design" ? "partial factors are in these figures" : "partial factors come on top of these figures";
  const count = answer.load_cases.length;
  return paragraph(`The fixing has to hold ${largest(answer.load_cases, unit)} (${kind}; ${count === 1 ? "one load case" : `the largest of ${count} load cases`}).`);
}

export function loads(answer, unit) {
  return [
    loadWords(answer, unit),
    ...folded("What was taken for these loads", texts(answer.assumptions ?? [])),
    ...folded("What to beware of with these loads", texts(answer.cautions ?? [])),
  ];
}

function suspended(answer) {
  return part("Suspended for new work", (answer.suspensions ?? []).map((one) =>
    `${one.family ?? `Rulebook ${one.version}`}${one.size ? ` ${one.size}` : ""} is suspended since ${one.since}: ${one.reason}`));
}

function holes({ hole, positions }) {
  if (!hole || hole.diameter_mm === null) return `${positions.length} are needed; nothing is drilled.`;
  return `Drill ${hole.count === 1 ? "one hole" : `${hole.count} holes`} of ${mm(hole.diameter_mm)}, ${mm(hole.depth_mm)} deep.`;
}

function whatToDo(choice) {
  const { fastener, comparison } = choice;
  const lines = [holes(choice), `Each fastener is ${mm(fastener.length_mm)} long and holds ${mm(fastener.embedment_mm)} deep (effective embedment); article ${fastener.article_code}.`];
  if (comparison.torque_tool) lines.push(`Tighten with: ${comparison.torque_tool}.`);
  lines.push(comparison.removable ? "It can be taken out again." : "It can’t be taken out again.");
  return lines.join(" ");
}

function howItStands({ comparison, governing, utilisation, reasons }) {
  const lines = [];
  if (utilisation !== null) lines.push(`The load takes ${percent(utilisation)} of the design resistance; ${modeWords(governing.mode)} governs, in load case “${governing.load_case}”.`);
  if (comparison.edge_left_over_mm !== null) lines.push(`The nearest edge is ${mm(comparison.edge_left_over_mm)} farther away than it has to be.`);
  return [...lines, ...reasons.slice(1, 2).map(sentence)].join(" ");
}

function choice(one, open) {
  const { fastener, positions } = one;
  const name = `${positions.length} × ${fastener.title}, size ${fastener.size}`;
  const button = make("button", { type: "button", "aria-label": `See why number ${one.rank}, ${name}` }, "See why");
  button.addEventListener("click", () => open(one, name));
  return make("article", {}, make("h3", {}, `${one.rank}. ${name}`), paragraph(whatToDo(one)), paragraph(howItStands(one)),
    ...(one.cautions.length ? [make("p", {}, make("strong", {}, `Beware: ${texts(one.cautions).join(" ")}`))] : []),
    make("div", { class: "buttons" }, button));
}

function nothing(answer) {
  const titles = Object.fromEntries(answer.rejected.map(({ family, title }) => [family, title]));
  const groups = answer.rejected_groups.map((group) => `${sentence(group.detail)} This stops: ${group.families.map((one) => titles[one] ?? one).join("; ")}.`);
  const near = answer.rejected.filter(({ nearest }) => nearest?.utilisation).map(({ title, nearest, cause }) =>
    `${title}: the nearest was ${nearest.positions_count} × ${nearest.size}, where the load takes ${percent(nearest.utilisation)} of the design resistance. ${sentence(cause.detail)}`);
  return [
    paragraph("Nothing in the rulebook passes for what you have told. Don’t build with the nearest thing: change what can be changed, or ask a structural engineer."),
    ...part("What would help, changed by itself", answer.relaxations.map(({ detail }) => detail)),
    ...(answer.relaxations.length ? [] : [paragraph("The service found no single change of an answer that would help. A thicker or larger plate, more holes farther apart, holes farther from the edge, more fixings that share the load, or a smaller load may; so may answers in place of “Not known”.")]),
    ...part("Why nothing passes", groups),
    ...folded("How near each came", near),
  ];
}

export function sizing(answer, loadsAnswer, unit, open) {
  const found = answer.choices.length;
  return [
    make("p", { id: "outcome" }, found ? found === 1 ? "One fixing passes the checks of the rulebook." : `These ${found} fixings pass the checks of the rulebook. They stand in the order that the rulebook prefers.` : "Nothing passes."),
    ...suspended(answer),
    loadWords(loadsAnswer, unit),
    ...(found ? answer.choices.map((one) => choice(one, open)) : nothing(answer)),
    ...folded("Fixings that pass and rank below these", answer.passed_over.map((one) => `${one.fastener_count} × ${one.title} ${one.size}: ${one.reason}`)),
    ...(found ? folded("What does not pass, and why", answer.rejected.map(({ title, cause }) => `${title}: ${cause.detail}`)) : []),
    ...part("What was taken because nobody said: check it on site", texts([...(loadsAnswer.assumptions ?? []), ...answer.assumptions])),
    ...part("Cautions", texts([...answer.cautions, ...(loadsAnswer.cautions ?? [])])),
    paragraph(`Rulebook ${answer.rulebook.version} (${answer.rulebook.status}), for ${answer.assessed_on}.`),
  ];
}

function worstOfEach(checks) {
  const worst = new Map();
  for (const check of checks) {
    const known = worst.get(check.mode);
    if (!known || (check.utilisation ?? 0) > (known.utilisation ?? 0)) worst.set(check.mode, check);
  }
  return [...worst.values()].sort((a, b) => (b.utilisation ?? 0) - (a.utilisation ?? 0));
}

function checkWords(check, unit) {
  const figures = check.design_resistance_kn === null ? "" : `: ${force(check.design_action_kn, unit)} against a design resistance of ${force(check.design_resistance_kn, unit)}`;
  const taken = check.utilisation === null ? "" : `, ${percent(check.utilisation)}`;
  return `${upper(modeWords(check.mode))} (EN 1992-4, ${check.clause})${check.edge ? `, edge ${check.edge}` : ""}${figures}${taken}`;
}

const requirement = (one) => `${one.code.replaceAll("_", " ")}: ${one.detail}${one.given === null ? "" : ` (here: ${typeof one.given === "number" ? show(one.given) : one.given}${one.unit && one.unit !== "1" ? ` ${one.unit}` : ""})`}`;

export function verification(answer, loadsAnswer, unit) {
  const { governing, requirements, site_reduction: site } = answer;
  const unmet = requirements.filter(({ met }) => !met);
  const held = requirements.filter(({ met }) => met);
  const lowered = site.parts.filter(({ factor }) => factor < 1);
  return [
    paragraph(answer.verdict === "verified" ? "It passes every check and requirement of the rulebook, as far as the answers given hold on site." : "It does not pass; there is no sheet for it."),
    ...(governing ? [paragraph(`What decides is ${modeWords(governing.mode)} in load case “${governing.load_case}”: the load takes ${percent(governing.utilisation)} of the design resistance.`)] : []),
    ...suspended(answer),
    ...part("Cautions", texts([...answer.cautions, ...(loadsAnswer.cautions ?? [])])),
    ...part("What was taken because nobody said: check it on site", texts([...(loadsAnswer.assumptions ?? []), ...answer.assumptions])),
    ...part("Not covered", answer.scope_limits.map((one) => one.detail ?? one.text)),
    ...part("Requirements that are not met", unmet.map(requirement)),
    ...part("The checks, the worst load case of each", worstOfEach(answer.checks).map((one) => checkWords(one, unit))),
    ...part("How far the load may grow", permissible(answer, unit)),
    ...part("What the site costs", lowered.map((one) => `${one.condition.replaceAll("_", " ")}, ${one.value.replaceAll("_", " ")}: resistance times ${show(one.factor)}. ${one.reason}`)),
    ...folded(`${held.length} requirements that are met`, held.map(requirement)),
    paragraph(`Rulebook ${answer.rulebook.version} (${answer.rulebook.status}), for ${answer.assessed_on}. ${answer.basis.note}`),
    make("p", {}, "Record: ", make("span", { class: "code", id: "record-id" }, answer.record.id)),
  ];
}

function permissible(answer, unit) {
  const growing = (answer.permissible ?? []).filter(({ growth }) => growth !== null);
  return growing.sort((a, b) => a.growth - b.growth).slice(0, 1).map((one) =>
    `The load case with the least to spare is “${one.load_case}”: it may grow to ${show(one.growth, 3)} times before a check fails${one.service_kn === null ? "" : `, that is ${force(one.service_kn, unit)} in service`}. ${sentence(one.basis)}`);
}
