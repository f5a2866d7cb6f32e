// The way through the questions.

import { loads, part, ranks, sizing, verification } from "./answers.js";
import { Trouble, ask } from "./calls.js";
import { fromMiddle, hasSpacing, impossible, nearestHoles, counts as rowCounts, ring } from "./edges.js";
import { byId, fieldAt, figures, fill, goTo, make, mark, nameOf, ofInputs, option, pick, picked, place, unmark, unmarkOne } from "./fields.js";
import { forget, keep, kept, putBack } from "./keeping.js";
import { show as shown } from "./numbers.js";
import { clearOthers, fillFamilies, neighbours, showOthers, tellWays, wrongOthers } from "./others.js";
import { plan } from "./plan.js";
import { ASKED_WITHIN_MM, SIDES, axesOf, placeOf, sideNames, standing, viewOf } from "./sides.js";
import { PARTS, count, learnWords, named, say, told, upper } from "./words.js";

const FORCES = "forces";
// Shown in empty fields and never taken.
// What is asked of a plate, and of nothing else.
const OF_PLATE = ["plate-x", "plate-y", "spacing-x", "spacing-y", "plate-hole", "section-x", "section-y", "plate-yield"];
// What lies under a ring, a hook or a nut, where there is no plate: the least that can be said (mm).
const UNDER_THE_NUT_MM = 10;
const OF_EXAMPLE = { "plate-x": "width_mm", "plate-y": "depth_mm", "plate-thickness": "thickness_mm", "spacing-x": "spacing_x_mm", "spacing-y": "spacing_y_mm", "section-x": "section_x_mm", "section-y": "section_y_mm" };
const EXAMPLE = { width_mm: 220, depth_mm: 220, thickness_mm: 15, spacing_x_mm: 150, spacing_y_mm: 150, section_x_mm: 60, section_y_mm: 60 };
const STEPS = ["thing", "loads", "concrete", "plate", "site", "answer", "why"];

const state = { models: [], titles: {}, families: new Map(), learntFrom: null, conditions: [], taken: {}, model: null, surface: null, loads: null, sizing: null, chosen: null, verified: null, name: "", sheet: null, record: null };

const form = (step) => byId(`step-${step}`);
const tellStatus = (words) => { byId("status").textContent = words; };

function show(step, { remember = true, focus = true, hold = true } = {}) {
  for (const other of STEPS) form(other).hidden = other !== step;
  byId("trouble").hidden = true;
  byId("subtitle").hidden = step !== "thing";
  byId("again").hidden = step === "thing";
  // To read once; then a line that opens again.
  byId("cautions").open = step === "thing";
  tellStatus("");
  const title = form(step).querySelector("h2");
  document.title = `${title.textContent} – ${document.querySelector("h1").textContent}`;
  if (remember) history.pushState({ step }, "");
  if (hold) keep(step, state.chosen && { rank: state.chosen.rank, name: state.name });
  if (focus) {
    title.focus();
    title.scrollIntoView();
  }
}

// To a question, on whichever step it stands.
function lead(field) {
  const step = field.closest(".step");
  if (step.hidden) show(step.id.replace("step-", ""), { focus: false });
  goTo(field);
}

// What is known of the questions and of where one stands, for the words of an answer.
function talk(choice = null) {
  const unit = picked("shown") ?? "kN";
  return { unit, view: viewOf(state.surface), titles: state.titles, inputs: state.model?.inputs ?? [], takenFor, field: askedAt, site: siteAnswer, family: (id) => state.families.get(id), takenWhereItMatters, shared: sharedBy(), request: choice?.request, positions: choice?.positions };
}

// The question about a site condition with its answer, and what it costs and why.
function siteAnswer({ condition, value, factor, reason, rule }) {
  const select = byId(`condition-${condition}`);
  const answer = (word) => [...(select?.options ?? [])].find((one) => one.value === word)?.textContent ?? word;
  // The place of the factor in the rulebook says as what an answer counts.
  const counted = rule.split("/").at(-2);
  const why = state.conditions.find((one) => one.condition === condition)?.values.find((one) => one.value === counted)?.reason;
  const known = { question: select ? nameOf(select) : condition, answer: answer(value), counted: answer(counted), factor, reason: why ?? reason };
  return counted === value ? say("{question} – {answer}: resistance × {factor:.3g}. {reason}", known)
    : say("{question} – {answer}; no torque is named for this fastener, so it counts as “{counted}”: resistance × {factor:.3g}. {reason}", known);
}

// What was taken for an answer of "Not known" that matters to some fasteners only, so that no answer for all of them names it.
function takenWhereItMatters(pointer) {
  if (pointer.startsWith("#/neighbours/")) return say("taken to be as loaded as the worst one here");
  if (pointer === "#/fixture/grout/strength_mpa") return say("taken to carry nothing");
  if (pointer === "#/use/temperature_range") {
    const word = state.taken.temperature_range;
    if (word === "weakest_covered") return say("for fasteners held by resin, the least favourable that each is assessed for was taken");
    return say("for fasteners held by resin, taken as {word}", { word: state.titles[word] ?? word });
  }
  const factor = state.conditions.find(({ condition }) => pointer === `#/site/${condition}`)?.values.find(({ value }) => value === "unknown")?.factor;
  return factor === undefined ? "" : say("every resistance times {factor}, for fasteners that it matters to", { factor });
}

// What shares the mass with others, in one word, where it does.
function sharedBy() {
  const shared = state.model?.crew?.shared;
  return shared && Number(byId(`input-${shared.count}`)?.value) > 1 ? told(shared.one) : null;
}

const isUnknown = (select) => select.value === "unknown" && !select.closest("[hidden]:not(.step)");
const takenFor = (word) => [...document.querySelectorAll("form.step select")].some((select) => isUnknown(select) && [...select.options].some(({ value }) => value === word));

function askedAt(pointer) {
  const field = [...document.querySelectorAll("[data-pointer]")].find((one) => one.dataset.pointer === pointer);
  return field && !field.disabled ? { label: nameOf(field), go: () => lead(field) } : null;
}

// What was given at a field, as it was typed or picked.
function wasGiven(at, given) {
  if (given === undefined || given === "null") return null;
  const own = at.matches("select") ? at.selectedOptions[0]?.textContent : at.matches("input") ? at.value.trim() : "";
  return own || null;
}

// Why the service refused an answer, by its code; its own words, for engineers, stay folded.
function refused({ code, given }, at) {
  const said = named("refusals", code);
  const why = said === code ? say("this can’t be used here; look at its question") : said;
  const typed = wasGiven(at, given);
  return typed === null ? why : say("“{typed}” was given; {why}", { typed, why });
}

// What went wrong, in words, with a link to each field; the words also stand at the field.
function complain({ title, message, errors }) {
  const lines = errors.map((error) => {
    const at = error.field ?? fieldAt(error.pointer);
    if (!at) return refusedElsewhere(error);
    // What the page found itself is said in its own words.
    const words = error.field ? error.detail : refused(error, at);
    const control = mark({ field: at, detail: words });
    const link = make("a", { href: `#${control.id}` }, say("{question}: {words}", { question: nameOf(at), words }));
    link.addEventListener("click", (event) => {
      event.preventDefault();
      lead(control);
    });
    return link;
  });
  const box = byId("trouble");
  const folded = errors.filter(({ field, detail }) => !field && detail).map(({ pointer, detail }) => make("li", { lang: "en" }, `${pointer ?? ""} ${detail}`.trim()));
  box.replaceChildren(make("h2", {}, title), make("p", {}, message), ...(lines.length ? [make("ul", {}, ...lines.map((line) => make("li", {}, line)))] : []));
  if (folded.length) box.append(make("details", {}, make("summary", {}, say("What the service says, for an engineer")), make("ul", {}, ...folded)));
  box.hidden = false;
  tellStatus("");
  box.focus();
  box.scrollIntoView();
}

function refusedElsewhere({ code }) {
  const said = named("refusals", code);
  return said === code ? say("The service refuses this and names no question of this page.") : said;
}

class Wrong extends Trouble {
  constructor(errors) {
    super(say("Look at these answers again."), errors, count("One answer is missing or can’t be right", "{number} answers are missing or can’t be right", errors.length));
  }
}

// Does one thing at a time, says that it takes time, and turns every failure into words.
let busy = false;
async function doing(words, root, work) {
  if (busy) return;
  busy = true;
  unmark(root);
  byId("trouble").hidden = true;
  tellStatus(words);
  try {
    await work();
    if (byId("status").textContent === words) tellStatus("");
  } catch (failure) {
    if (!(failure instanceof Trouble)) {
      complain({ title: say("This page failed"), message: say("The fault is in the page. Your answers are still here; tell whoever runs the service."), errors: [] });
      throw failure;
    }
    complain(failure);
  } finally {
    busy = false;
  }
}

// The figures of a step; all that is wrong with it at once, so that nobody is sent back twice.
function read(step, further = () => []) {
  const { values, wrong } = figures(form(step));
  const all = [...wrong, ...further(values, wrong)];
  if (all.length) throw new Wrong(all.sort((a, b) => (a.field.compareDocumentPosition(b.field) & Node.DOCUMENT_POSITION_PRECEDING ? 1 : -1)));
  return values;
}

const given = (entries) => Object.fromEntries(Object.entries(entries).filter(([, value]) => value !== null && value !== undefined && value !== ""));

// 1

async function begin() {
  await doing(say("Asking the service what it knows …"), document.body, async () => {
    learnWords(await ask(`/v1/words/${document.documentElement.lang}?parts=${PARTS}`));
    const listed = await ask("/v1/load-models");
    const book = await ask(`/v1/rulebooks/${encodeURIComponent(listed.rulebook.version)}`);
    const families = await ask("/v1/families");
    state.models = listed.models;
    state.titles = Object.fromEntries(families.families.map(({ id, title }) => [id, title]));
    caution(book.cautions);
    const surfaces = new Map(listed.models.flatMap((model) => model.surfaces).map(({ name, title }) => [name, title]));
    byId("things").append(...listed.models.map(({ model, title, crew }) => option("thing", model, told(title), crew.told_apart && told(crew.told_apart))), option("thing", FORCES, say("Something else: I know the forces from a calculation")));
    byId("thing-list").replaceChildren(...listed.models.flatMap(({ title, crew }) => [make("dt", {}, told(title)), make("dd", {}, told(crew.words))]));
    byId("surfaces").append(...[...surfaces].map(([name, title]) => option("surface", name, told(title))));
    fillLists(book.allowed);
    fillFamilies(state.titles);
    state.conditions = book.allowed.site;
    state.taken = book.taken_when_unknown;
    await putBackAll(kept());
  });
  if (!state.models.length) {
    const again = make("button", { type: "button" }, say("Try again"));
    again.addEventListener("click", begin);
    byId("trouble").append(make("div", { class: "buttons" }, again));
  }
}

// The first caution stays in sight on every step; the rest is folded here and stands again beside what comes out.
function caution(cautions) {
  const demonstration = cautions.find(({ code }) => code === "demonstration_data");
  byId("first-notice").textContent = demonstration?.text ?? "";
  byId("first-word").textContent = demonstration ? say(": demonstration rulebook") : "";
  byId("notice").replaceChildren(...cautions.filter((one) => one !== demonstration).map(({ text }) => make("li", {}, text)));
}

function fillLists(allowed) {
  for (const select of document.querySelectorAll("[data-listed]")) {
    const name = select.dataset.listed;
    const entries = allowed[name].map((one) => (typeof one === "string" ? { value: one, title: upper(named(name, one)) } : { value: one[name], title: one.title }));
    fill(select, entries);
    for (const { value, title } of entries) if (title !== upper(named(name, value))) state.titles[value] = title;
  }
  byId("conditions").append(...allowed.site.map(({ condition, title, values }) => {
    const select = make("select", { id: `condition-${condition}`, "data-condition": condition, "data-pointer": `#/site/${condition}` });
    const answers = values.map(({ value }) => ({ value, title: named(condition, value) }));
    fill(select, answers);
    state.titles[condition] = title;
    for (const { value, title } of answers) if (value !== "unknown") state.titles[value] ??= title;
    return make("div", { class: "field" }, make("label", { for: select.id }, title), select);
  }));
}

async function putBackAll(before) {
  const told = before && byId(`thing-${before.answers["picked thing"]}`);
  const step = told && history.state?.step ? before.step : "thing";
  if (step === "thing") history.replaceState({ step }, "");
  try {
    if (told) await goOn(before, step);
    else show("thing", { remember: false, focus: false });
  } catch (failure) {
    show("thing", { remember: false, focus: false, hold: false });
    throw failure;
  }
}

// The answers as they were; after a reload also the step, and what follows from them asked anew.
async function goOn({ answers, opened }, step) {
  choose(answers["picked thing"]);
  putBack(answers);
  asked();
  tellAxes();
  const at = STEPS.indexOf(step);
  if (at > STEPS.indexOf("loads")) {
    await findLoads();
    putBack(answers);
    asked();
    sketch();
  }
  const then = at > STEPS.indexOf("site") ? "answer" : step;
  if (then === "answer") await findFixings();
  if (then === "plate") tellNearest();
  const choice = step === "why" && state.sizing.choices.find(({ rank }) => rank === opened?.rank);
  if (choice) await check(choice, opened.name);
  show(choice ? "why" : then, { remember: false, focus: false });
  history.replaceState({ step: choice ? "why" : then }, "");
}

form("thing").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("", form("thing"), async () => {
    const thing = picked("thing");
    if (!thing) throw new Wrong([{ field: byId("things"), detail: say("pick one of these; the last one is for all else") }]);
    if (state.model?.model !== thing) choose(thing);
    show("loads");
  });
});

function choose(thing) {
  const known = state.models.find(({ model }) => model === thing);
  state.model = known ?? { model: FORCES, crew: { words: say("Take the forces from a calculation. They act in the concrete surface, at the centre of the plate: moments include force times height."), example: EXAMPLE }, inputs: [] };
  byId("thing-words").textContent = told(state.model.crew.words);
  const directed = state.model.inputs.some(({ crew }) => crew.directed) && state.model.surfaces.length === 1;
  byId("thing-axes").textContent = directed ? standing(state.model, state.model.surfaces[0].name).stand : "";
  state.loads = null;
  state.surface = null;
  byId("inputs").replaceChildren(...ofInputs(state.model.inputs));
  byId("forces").hidden = Boolean(known);
  for (const input of byId("forces").querySelectorAll("[data-pointer]")) input.disabled = Boolean(known);
  for (const [id, name] of Object.entries(OF_EXAMPLE)) {
    byId(id).value = "";
    byId(id).placeholder = say("for example {figure}", { figure: state.model.crew.example[name] });
  }
  for (const id of ["plate-yield", "plate-hole", "grout", "grout-strength", "concrete-most"]) byId(id).value = "";
  for (const input of document.querySelectorAll('input[name="holes"], input[name="bedding"], input[name="others"]')) input.checked = false;
  pick("has-plate", "yes");
  clearOthers();
  byId("shared").textContent = "";
  clearSides();
}

// 2

async function findLoads() {
  state.loads = state.model.model === FORCES ? known() : await modelled();
  surfaceIs(state.loads.surface.name);
  const [comes] = state.loads.use?.consequence ?? [];
  if (comes && ["unknown", "nobody"].includes(picked("hurt"))) pick("hurt", comes);
  byId("loads-words").replaceChildren(...loads(state.loads, talk()));
}

form("loads").addEventListener("submit", (event) => {
  event.preventDefault();
  doing(say("Working out the loads …"), form("loads"), async () => {
    await findLoads();
    show("concrete");
  });
});

// What has been told of the thing so far.
function toldOfThing(values) {
  const words = [...byId("inputs").querySelectorAll("select[data-pointer]")].map(({ name, value }) => [name, value]);
  return { ...values, ...Object.fromEntries(words) };
}

// Whether what a question asks of another one is so; where nothing is said the service takes the default.
function holds({ name, condition, value, above }, answers) {
  const given = answers[name] ?? "";
  const taken = given === "" ? state.model.inputs.find((one) => one.name === name).default : given;
  return { is: taken === value, above: Number(taken ?? 0) > above, given: given !== "", not_given: given === "" }[condition];
}

// Answers that have to be given because of others: the service would ask for them only when the rest is right.
function needed(values) {
  const answers = toldOfThing(values);
  const open = (name) => (answers[name] ?? "") === "";
  const { inputs, exactly_one: one } = state.model;
  const alone = inputs.filter(({ name, needed_where: where }) => where && open(name) && holds(where, answers)).map(({ name }) => ({ field: byId(`input-${name}`), detail: say("must be given") }));
  if (!one.length || !one.every(open)) return alone;
  const [first, ...others] = one.map((name) => byId(`input-${name}`));
  const questions = others.map((other) => `“${nameOf(other)}”`).reduce((names, next) => say("{names} or {next}", { names, next }));
  return [{ field: first, detail: say("must be given, or {questions}", { questions }) }, ...alone];
}

// What one of several gets, so that a plate is not taken for a rod; how unevenly they share comes on top.
function tellShare() {
  const shared = state.model?.crew.shared;
  const { values } = figures(form("loads"));
  const [mass, number] = [values.mass_kg, values[shared?.count]];
  const several = typeof mass === "number" && number > 1;
  byId("shared").textContent = several ? say("{mass} kg on {number} {many}: {share} kg on each {one}, if they share alike. One {one} is one plate with all its bolts or rods.", { mass, number, share: mass / number, one: told(shared.one), many: told(shared.many) }) : "";
}

async function modelled() {
  const values = read("loads", needed);
  const selects = [...byId("inputs").querySelectorAll("[data-pointer]:is(select)")].filter((select) => !select.closest(".field").hidden);
  return ask(state.model.path, given({ ...values, ...Object.fromEntries(selects.map((select) => [select.name, select.value])) }));
}

const forcesIn = (values) => given(Object.fromEntries(Object.entries(values).map(([name, value]) => [name.replace("force-", ""), value])));

function wrongForces(values, unread) {
  const wrong = [];
  const kind = picked("kind");
  const forces = forcesIn(values);
  if (!picked("surface")) wrong.push({ field: byId("surfaces").parentElement, detail: say("say what it is fixed to") });
  if (!kind) wrong.push({ field: fieldAt("#/load_cases/0/kind"), detail: say("say which kind they are") });
  if (!unread.length && !Object.entries(forces).some(([name, value]) => !name.endsWith("_share") && value !== 0)) wrong.push({ field: byId("all-forces"), detail: say("give at least one force or moment that is not 0") });
  return wrong;
}

function known() {
  const { sustained_share: sustained, ...forces } = forcesIn(read("loads", wrongForces));
  const kind = picked("kind");
  const surface = { name: picked("surface") };
  if (kind === "design") return { surface, load_cases: [given({ name: "forces given", kind, ...forces, sustained_share: sustained })] };
  // What never changes stays for long by itself.
  const share = kind === "variable" ? { sustained_share: sustained } : {};
  return { surface, actions: [given({ name: "forces given", kind, ...forces, ...share })] };
}

function tellAxes() {
  byId("axes").textContent = axesOf(picked("surface"));
}

// 3

// An I-section is told by the way its web runs on the surface that one sees.
function fillProfiles(view) {
  const webs = { i_web_along_x: view.along.x, i_web_along_y: view.along.y };
  const shapes = ["unknown", "hollow", "solid", ...Object.keys(webs), "other"].map((value) => ({ value, title: webs[value] ? say("I or H section, its web {way}", { way: webs[value] }) : upper(named("profile", value)) }));
  fill(byId("section-profile"), shapes);
}

function surfaceIs(name) {
  if (state.surface === name) return;
  const view = viewOf(name);
  clearSides();
  state.surface = name;
  byId("stand").textContent = standing(state.model, name).stand;
  for (const side of SIDES) {
    document.querySelector(`[data-side-words="${side}"]`).textContent = say("Is there an edge of the concrete {side}, within {metres} m?", { side: view.words[side], metres: ASKED_WITHIN_MM / 1000 });
    byId(`distance-${side}`).dataset.pointer = `#/member/edges/${view.edges[side]}_mm`;
  }
  const labels = {
    "plate-x": say("Size of the plate {way}", { way: view.along.x }),
    "plate-y": say("Size of the plate {way}", { way: view.along.y }),
    "section-x": attached(name, view.along.x),
    "section-y": attached(name, view.along.y),
    "spacing-x": say("Distance between holes {way}", { way: view.along.x }),
    "spacing-y": say("Distance between holes {way}", { way: view.along.y }),
  };
  fillProfiles(view);
  for (const [id, words] of Object.entries(labels)) document.querySelector(`label[for="${id}"]`).firstChild.textContent = `${words} `;
  document.querySelector('label[for="holes-row-x"]').textContent = say("Two in a row {way}", { way: view.along.x });
  document.querySelector('label[for="holes-row-y"]').textContent = say("Two in a row {way}", { way: view.along.y });
  document.querySelector('label[for="holes-six-x"]').textContent = say("Six: three {way} by two", { way: view.along.x });
  document.querySelector('label[for="holes-six-y"]').textContent = say("Six: three {way} by two", { way: view.along.y });
  tellWays(view);
  pick("overhead", name === "soffit" ? "yes" : "no");
  sketch();
}

// What stands on the plate, hangs on it or is fixed to it.
const attached = (surface, way) => ({
  top_of_slab: say("Size of what stands on the plate, if known, {way}", { way }),
  soffit: say("Size of what hangs on the plate, if known, {way}", { way }),
  vertical_face: say("Size of what is fixed to the plate, if known, {way}", { way }),
}[surface]);

// What was answered for one surface says nothing about another.
function clearSides() {
  for (const side of SIDES) {
    for (const input of document.querySelectorAll(`input[name="edge-${side}"]`)) input.checked = false;
    byId(`distance-${side}`).value = "";
  }
  for (const input of document.querySelectorAll('input[name="measured"]')) input.checked = false;
  asked();
}

// Shows the questions that the answers so far make needed, and no others.
function asked() {
  for (const side of SIDES) byId(`distance-${side}`).closest(".distance").hidden = picked(`edge-${side}`) !== "yes";
  byId("measured").hidden = !SIDES.some((side) => picked(`edge-${side}`) === "yes");
  for (const id of OF_PLATE) byId(id).closest(".field").hidden = bare();
  for (const id of ["holes", "bedding-asked"]) byId(id).hidden = bare();
  byId("section-profile").closest(".field").hidden = bare() || !["section-x", "section-y"].some((id) => byId(id).value.trim());
  byId("bare-words").hidden = !bare();
  for (const axis of ["x", "y"]) byId(`spacing-${axis}`).closest(".field").hidden = !hasSpacing(holesTold(), axis);
  byId("bedding").hidden = picked("bedding") !== "yes";
  showOthers();
  byId("sharing").hidden = picked("redundant") !== "yes";
  byId("topping").hidden = (picked("topping") ?? "no") === "no";
  const answers = toldOfThing(figures(form("loads")).values);
  for (const { name, only_where: where } of state.model?.inputs ?? []) byId(`input-${name}`).closest(".field").hidden = Boolean(where) && !holds(where, answers);
}

// Distances as they were typed, null where there is no edge or no figure yet.
function edgeAnswers(values) {
  return Object.fromEntries(SIDES.map((side) => [side, picked(`edge-${side}`) === "yes" ? values[`distance-${side}`] ?? null : null]));
}

const fromWhere = (measured) => ({ middle: say("from the middle of the plate"), hole: say("from the nearest hole"), plate: say("from the edge of the plate") }[measured] ?? "");

function sketch() {
  if (!state.surface) return;
  const view = viewOf(state.surface);
  const { values } = figures(form("concrete"));
  const answers = edgeAnswers(values);
  const measured = picked("measured");
  const words = [];
  const sides = {};
  for (const side of SIDES) {
    const distance = answers[side] === null ? "" : say("{distance:.9g} mm", { distance: answers[side] });
    sides[placeOf(view, side)] = { mm: answers[side], label: distance, words: view.words[side] };
    if (answers[side] !== null) words.push(say("{side} {distance} {from}", { side: view.words[side], distance, from: fromWhere(measured) }).trim());
    else if (picked(`edge-${side}`) === "no") words.push(say("{side} none within {metres} m", { side: view.words[side], metres: ASKED_WITHIN_MM / 1000 }));
  }
  byId("plan").replaceChildren(plan(sides, measured, view.looking));
  const told = words.length ? say("Edges, not to scale: {edges}.", { edges: words.join("; ") }) : say("The square is the plate. Edges show here as you answer.");
  byId("plan-words").textContent = `${view.seen} ${told}`;
}

form("concrete").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("", form("concrete"), async () => {
    read("concrete", wrongConcrete);
    tellNearest();
    show("plate");
  });
});

function wrongConcrete(values, unread) {
  const wrong = [];
  if (!picked("topping")) wrong.push({ field: byId("topping-asked"), detail: say("say what lies on it, or that nothing does") });
  if (!byId("topping").hidden && !picked("comes-off")) wrong.push({ field: byId("comes-off-asked"), detail: say("answer yes or no") });
  return [...wrong, ...wrongSides(values, unread)];
}

function topping(concrete) {
  if (picked("topping") === "no") return null;
  return { kind: picked("topping"), thickness_mm: concrete["topping-thickness"], comes_off: picked("comes-off") === "yes" };
}

function wrongSides(values, unread) {
  const wrong = [];
  if (!byId("measured").hidden && !picked("measured")) wrong.push({ field: byId("measured"), detail: say("say from where you measured; it makes a difference of many millimetres") });
  for (const side of SIDES) {
    const answer = picked(`edge-${side}`);
    const distance = values[`distance-${side}`] ?? null;
    const field = byId(`distance-${side}`);
    if (!answer) wrong.push({ field: document.querySelector(`[data-side="${side}"]`), detail: say("answer yes or no; if you don’t know, find out before you go on") });
    if (answer === "yes" && distance === null && !unread.some((one) => one.field === field)) wrong.push({ field, detail: say("must be given") });
    if (answer === "yes" && distance === 0 && picked("measured") !== "plate") wrong.push({ field, detail: say("“0” was given; the concrete has to reach beyond the hole") });
  }
  return wrong;
}

// 4

const bare = () => picked("has-plate") === "no";
const holesTold = () => (bare() ? "one" : picked("holes"));

// The figures of a plate, or what stands in their place where there is none.
function ofPlate(values) {
  return bare() ? { ...values, ...Object.fromEntries(OF_PLATE.map((id) => [id, null])), "plate-x": UNDER_THE_NUT_MM, "plate-y": UNDER_THE_NUT_MM } : values;
}

function situation(values) {
  return { view: viewOf(state.surface), answers: edgeAnswers(figures(form("concrete")).values), measured: picked("measured"), values: ofPlate(values), holes: holesTold() };
}

// How far the nearest hole is from each edge, as the plate is being described.
function tellNearest() {
  if (!state.surface) return;
  const { values } = figures(form("plate"));
  const needed = ["plate-x", "plate-y", "spacing-x", "spacing-y"].filter((id) => !byId(id).closest(".field").hidden);
  const lines = holesTold() && needed.every((id) => typeof values[id] === "number") ? nearestHoles(situation(values)) : [];
  byId("nearest").replaceChildren(...lines.map((line) => make("p", {}, line)));
}

form("plate").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("", form("plate"), async () => {
    read("plate", wrongPlate);
    show("site");
  });
});

function wrongPlate(values) {
  const wrong = ["section-x", "section-y"].filter((name) => (values["section-x"] === null) !== (values["section-y"] === null) && values[name] === null).map((name) => ({ field: byId(name), detail: say("must be given beside the other size") }));
  if (bare() && picked("measured") === "plate") wrong.push({ field: byId("plate-asked"), detail: say("you measured to the concrete’s edges from the edge of a plate: where there is none, measure from the middle of the hole") });
  if (!holesTold()) wrong.push({ field: byId("holes"), detail: say("say how many, or have several tried") });
  if (!bare() && !picked("bedding")) wrong.push({ field: byId("bedding-asked"), detail: say("answer yes or no") });
  return [...wrong, ...wrongOthers(), ...impossible(situation(values)).map(({ id, detail }) => ({ field: byId(id), detail }))];
}

// Where the holes are: rows to try, or the places themselves.
function layout(values) {
  const holes = holesTold();
  if (holes === "eight") return { positions: ring(values["spacing-x"], values["spacing-y"]) };
  const axis = (name) => given({ counts: rowCounts(holes, name), spacings_mm: hasSpacing(holes, name) ? [values[`spacing-${name}`]] : null });
  return { pattern: { x: axis("x"), y: axis("y") } };
}

// 5

// Not known counts as no: this one then holds alone.
function redundancy() {
  const { "shared-points": points } = read("site", nobodyNamed);
  return picked("redundant") === "yes" ? { points, bridging_shown_by: byId("shown-by").value.trim() } : { points: 1 };
}

// What the thing itself tells stands, whatever is answered.
function consequence() {
  const comes = state.loads.use?.consequence ?? [];
  const said = picked("hurt");
  if (said === "unknown") return comes.length ? comes : null;
  return [...new Set([...comes, ...(said === "nobody" ? [] : [said])])];
}

function nobodyNamed() {
  return picked("redundant") === "yes" && !byId("shown-by").value.trim() ? [{ field: byId("shown-by"), detail: say("must be given") }] : [];
}

// What is left empty is written on the sheet by hand.
function jobTold() {
  const told = given(Object.fromEntries(["structure", "drawing", "revision", "issued_by", "call"].map((name) => [name, byId(`job-${name.replace("_", "-")}`).value.trim()])));
  return Object.keys(told).length ? told : null;
}

function request() {
  const concrete = read("concrete");
  const plate = ofPlate(read("plate"));
  const view = viewOf(state.surface);
  const middle = fromMiddle(situation(plate));
  const edges = Object.fromEntries(SIDES.map((side) => [`${view.edges[side]}_mm`, middle[side]]));
  const profile = byId("section-profile").value;
  const section = plate["section-x"] === null ? null : given({ width_mm: plate["section-x"], depth_mm: plate["section-y"], profile: profile === "unknown" ? null : profile });
  const grout = !bare() && picked("bedding") === "yes" ? given({ thickness_mm: plate.grout, strength_mpa: plate["grout-strength"] }) : null;
  // Asked beside the grout, which alone turns on it.
  const most = grout === null ? null : plate["concrete-most"];
  const conditions = [...byId("conditions").querySelectorAll("select")].map((select) => [select.dataset.condition, select.value]);
  return given({
    fixing_reference: byId("reference").value.trim(),
    job: jobTold(),
    member: given({ material: byId("material").value, topping: topping(concrete), strength_class: byId("strength").value, strength_most_mpa: most, state: byId("state").value, thickness_mm: concrete.thickness, edges: given(edges) }),
    fixture: given({ plate: bare() ? false : null, width_mm: plate["plate-x"], depth_mm: plate["plate-y"], thickness_mm: plate["plate-thickness"], yield_mpa: plate["plate-yield"], hole_diameter_mm: plate["plate-hole"], attached_section: section, grout }),
    neighbours: neighbours(view, plate),
    ...(state.loads.actions?.length ? { actions: state.loads.actions } : { load_cases: state.loads.load_cases }),
    loads_from: state.loads.loads_from && [state.loads.loads_from],
    use: { overhead: picked("overhead") === "yes", redundancy: redundancy(), structural: picked("structural") === "yes", consequence: consequence(), exposure: byId("exposure").value, hole: byId("hole").value, temperature_range: byId("temperature").value },
    site: Object.fromEntries(conditions),
    ...layout(plate),
  });
}

// Questions that were answered with "Not known", or left open where that means the same.
function notKnown() {
  const selects = [...document.querySelectorAll("form.step select[data-pointer]")].filter(isUnknown);
  const mortar = !bare() && picked("bedding") === "yes" && !byId("grout-strength").value.trim() ? [byId("grout-strength")] : [];
  return [...mortar, ...selects].map((field) => ({ label: nameOf(field), pointer: field.dataset.pointer, go: () => lead(field) }));
}

async function findFixings() {
  const found = await ask("/v1/sizings", request());
  await learn(found.choices.map(({ fastener }) => fastener.family), found.rulebook.version);
  state.sizing = found;
  tell();
}

// What the rulebook says of the fasteners that came out, each asked for once, and anew when another version answers.
async function learn(names, version) {
  if (state.learntFrom !== version) state.families.clear();
  state.learntFrom = version;
  const unheard = [...new Set(names)].filter((name) => !state.families.has(name));
  const told = await Promise.all(unheard.map((name) => ask(`/v1/families/${encodeURIComponent(name)}`)));
  unheard.forEach((name, at) => state.families.set(name, told[at].family));
}

form("site").addEventListener("submit", (event) => {
  event.preventDefault();
  doing(say("Looking for fixings …"), document.body, async () => {
    await findFixings();
    show("answer");
  });
});

function tell() {
  const openOne = (rank, name) => open(state.sizing.choices.find((one) => one.rank === rank), name);
  byId("answer").replaceChildren(...sizing(state.sizing, state.loads, talk(), notKnown(), openOne));
}

// 6

function open(choice, name) {
  doing(say("Checking this one in full …"), document.body, async () => {
    await check(choice, name);
    show("why");
  });
}

async function check(choice, name) {
  state.verified = await ask("/v1/verifications", choice.request);
  state.chosen = choice;
  state.name = name;
  byId("why-title").textContent = say("Why {name}?", { name });
  offerRecord();
  explain();
}

function explain() {
  const words = talk(state.chosen);
  byId("why").replaceChildren(...verification(state.verified, state.loads, words), ...part(say("Why it ranks here"), ranks(state.chosen.reasons, words)));
}

function handOver(kind, blob) {
  if (state[kind]) URL.revokeObjectURL(state[kind]);
  state[kind] = URL.createObjectURL(blob);
  return state[kind];
}

// The very thing that /v1/replays takes.
function offerRecord() {
  const record = JSON.stringify({ request: state.chosen.request, answer: state.verified }, null, 2);
  const link = byId("record-link");
  link.href = handOver("record", new Blob([record], { type: "application/json" }));
  link.download = `fixing-${state.verified.record.id.slice(7, 19)}.json`;
  byId("sheet-link").replaceChildren();
}

// Whose sheet it is.
function openSheet() {
  const [job, fixing] = [byId("job").value.trim(), byId("reference").value.trim()];
  if (job && fixing) return say("Open the sheet of job “{job}”, fixing “{fixing}”, to print it (new window)", { job, fixing });
  if (job) return say("Open the sheet of job “{job}”, to print it (new window)", { job });
  if (fixing) return say("Open the sheet of fixing “{fixing}”, to print it (new window)", { fixing });
  return say("Open the sheet, to print it (new window)");
}

byId("sheet-form").addEventListener("submit", (event) => {
  event.preventDefault();
  doing(say("Making the sheet …"), form("why"), async () => {
    byId("sheet-link").replaceChildren();
    const values = read("why");
    const body = given({ job: byId("job").value.trim(), counts: values.count === null ? null : [values.count], concrete_temperature_c: values["concrete-temperature"] });
    const sides = [sideNames(state.model, state.surface)];
    const sheet = await ask("/v1/installation-sheets", { ...body, side_names: sides, fixings: [state.chosen.request] }, "text/html");
    const link = make("a", { href: handOver("sheet", sheet), target: "_blank" }, openSheet());
    byId("sheet-link").replaceChildren(link);
    tellStatus(say("The sheet is ready."));
    link.focus();
  });
});

// A sheet of other answers than those that are given now is not offered any more; how forces are shown is no answer.
function dropSheet(changed) {
  if (changed.name === "shown" || !byId("sheet-link").hasChildNodes()) return;
  byId("sheet-link").replaceChildren();
  tellStatus(say("An answer has changed: make the sheet anew."));
}

// Throughout

document.addEventListener("click", (event) => {
  if (event.target.matches("[data-back]")) history.back();
});
byId("again").addEventListener("click", () => {
  if (!confirm(say("Drop all answers of this page and start again? They can’t be got back."))) return;
  forget();
  location.reload();
});
// An answer to questions that were changed since is not shown again.
function stillTrue(step) {
  const at = STEPS.indexOf(step);
  if (at > STEPS.indexOf("loads") && !state.loads) return "loads";
  return at > STEPS.indexOf("site") && !state.sizing ? "site" : step;
}
document.addEventListener("input", ({ target }) => {
  if (target.matches("input, select")) unmarkOne(target);
  // At once, so that Tab finds the next question.
  if (target.matches("#section-x, #section-y")) asked();
  dropSheet(target);
  if (target.closest("#sheet-form")) keep("why", state.chosen && { rank: state.chosen.rank, name: state.name });
  const step = target.closest("form.step");
  if (!step) return;
  state.sizing = null;
  if (step === form("loads")) {
    state.loads = null;
    tellShare();
  }
  // While typing, not on leaving the field: what moves then moves away from under a finger.
  asked();
  if (step === form("concrete")) sketch();
  if (step === form("plate")) tellNearest();
  keep(step.id.replace("step-", ""));
});
addEventListener("popstate", ({ state: was }) => { if (was?.step) show(stillTrue(was.step), { remember: false }); });
document.addEventListener("change", ({ target }) => {
  asked();
  if (target.name === "surface") tellAxes();
  if (target.name === "shown") {
    tell();
    byId("loads-words").replaceChildren(...loads(state.loads, talk()));
    if (state.verified) explain();
  }
});
addEventListener("offline", () => tellStatus(say("This device is offline. Your answers are still here.")));
addEventListener("online", () => tellStatus(say("This device is online again.")));
for (const input of byId("forces").querySelectorAll("[data-number]")) place(input, nameOf(input));
pick("shown", "kN");
pick("redundant", "no");
pick("structural", "yes");
pick("hurt", "unknown");
begin();
