// The way through the questions.

import { loads, part, ranks, sizing, verification } from "./answers.js";
import { Trouble, ask } from "./calls.js";
import { fromMiddle, impossible, nearestHoles } from "./edges.js";
import { byId, fieldAt, figures, fill, goTo, make, mark, nameOf, ofInputs, option, pick, picked, place, unmark, unmarkOne, worded } from "./fields.js";
import { forget, keep, kept, putBack } from "./keeping.js";
import { localised, show as shown } from "./numbers.js";
import { plan } from "./plan.js";
import { ASKED_WITHIN_MM, AXES, BESIDE_PLATE, NEEDED, ONLY_WHERE, OWN_WORDS, SHARED_BY, SIDES, SITE_WORDS, STANDS_FOR_LOADS, SURFACES, TOLD_APART, placeOf, sideNames, speaker, stand, thingWords } from "./words.js";

const FORCES = "forces";
// Shown in empty fields and never taken: plate along x and y, its thickness, holes along x and y, what stands on it.
const EXAMPLES = { soffit_hanger: [100, 100, 8, 60, 60, 30, 30], pipe_clamp: [200, 100, 8, 130, 60, 60, 60], eyebolt: [100, 100, 10, 60, 60, 30, 30], machine_base: [500, 400, 20, 400, 300, 300, 200], racking_upright: [180, 140, 10, 110, 80, 100, 80] };
const EXAMPLE = [220, 220, 15, 150, 150, 60, 60];
const OF_EXAMPLE = ["plate-x", "plate-y", "plate-thickness", "spacing-x", "spacing-y", "section-x", "section-y"];
const STEPS = ["thing", "loads", "concrete", "plate", "site", "answer", "why"];

const state = { models: [], titles: {}, families: new Map(), learntFrom: null, conditions: [], taken: {}, model: null, surface: null, loads: null, sizing: null, chosen: null, verified: null, name: "", sheet: null, record: null };

const form = (step) => byId(`step-${step}`);
const say = (words) => { byId("status").textContent = words; };

function show(step, { remember = true, focus = true, hold = true } = {}) {
  for (const other of STEPS) form(other).hidden = other !== step;
  byId("trouble").hidden = true;
  byId("subtitle").hidden = step !== "thing";
  byId("again").hidden = step === "thing";
  // To read once; then a line that opens again.
  byId("cautions").open = step === "thing";
  say("");
  const title = form(step).querySelector("h2");
  document.title = `${title.textContent} – Which fixing holds this?`;
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

// Which words to use for what the API says of this thing.
function talk(choice = null) {
  const known = { surface: state.surface, titles: state.titles, inputs: state.model?.inputs ?? [], questions: questionOf, takenFor };
  const unit = picked("shown") ?? "kN";
  return { ...speaker(known), unit, view: SURFACES[state.surface], field: askedAt, site: siteAnswer, family: (id) => state.families.get(id), takenWhereItMatters, shared: sharedBy(), request: choice?.request, positions: choice?.positions };
}

// The question about a site condition with an answer to it.
function siteAnswer({ condition, value }) {
  const select = byId(`condition-${condition}`);
  const answer = [...(select?.options ?? [])].find((one) => one.value === value)?.textContent;
  return `${select ? nameOf(select) : condition} – ${answer ?? value}`;
}

// What was taken for an answer of "Not known" that matters to some fasteners only, so that no answer for all of them names it.
function takenWhereItMatters(pointer) {
  if (pointer === "#/use/temperature_range") {
    const word = state.taken.temperature_range;
    return `: for fasteners held by resin, ${word === "weakest_covered" ? "the least favourable that each is assessed for was taken" : `taken as ${state.titles[word] ?? word}`}`;
  }
  const factor = state.conditions.find(({ condition }) => pointer === `#/site/${condition}`)?.values.find(({ value }) => value === "unknown")?.factor;
  return factor === undefined ? "" : `: every resistance times ${shown(factor)}, for fasteners that it matters to`;
}

// What shares the mass with others, in one word, where it does.
function sharedBy() {
  const [name, one] = SHARED_BY[state.model?.model] ?? [];
  return name && Number(byId(`input-${name}`)?.value) > 1 ? one : null;
}

const isUnknown = (select) => select.value === "unknown" && !select.closest("[hidden].field");
const takenFor = (word) => [...document.querySelectorAll("form.step select")].some((select) => isUnknown(select) && [...select.options].some(({ value }) => value === word));

function askedAt(pointer) {
  const field = [...document.querySelectorAll("[data-pointer]")].find((one) => one.dataset.pointer === pointer);
  return field && !field.disabled ? { label: nameOf(field), go: () => lead(field) } : null;
}
const questionOf = (pointer) => {
  const field = fieldAt(pointer);
  return field ? nameOf(field).replace(/(?: \([^()]*\))+$/, "") : null;
};

// What was given at a field as it was typed or picked, or as the service got it.
function wasGiven(at, given) {
  if (given === undefined || given === "null") return "";
  const own = at.matches("select") ? at.selectedOptions[0]?.textContent : at.matches("input") ? at.value.trim() : "";
  return `“${own || given.replace(/^"(.*)"$/, "$1")}” was given; `;
}

// What went wrong, in words, with a link to each field; the words also stand at the field.
function complain({ title, message, errors }) {
  const { plain } = talk();
  const lines = errors.map(({ detail, pointer, field, given: was }) => {
    const at = field ?? fieldAt(pointer);
    if (!at) return plain(detail);
    const unit = at.dataset?.unit;
    // The page's own words are as they have to be: what was typed is quoted as it was typed.
    const said = field ? detail : plain(detail);
    const words = `${wasGiven(at, was)}${unit && unit !== "1" && /\d$/.test(said) ? `${said} ${unit}` : said}`;
    const control = mark({ field: at, detail: words });
    const link = make("a", { href: `#${control.id}` }, `${nameOf(at)}: ${words}`);
    link.addEventListener("click", (event) => {
      event.preventDefault();
      lead(control);
    });
    return link;
  });
  const box = byId("trouble");
  box.replaceChildren(make("h2", {}, title), make("p", {}, plain(message)), make("ul", {}, ...lines.map((line) => make("li", {}, line))));
  if (!lines.length) box.lastChild.remove();
  box.hidden = false;
  say("");
  box.focus();
  box.scrollIntoView();
}

class Wrong extends Trouble {
  constructor(errors) {
    super("Look at these answers again.", errors, errors.length === 1 ? "One answer is missing or can’t be right" : `${errors.length} answers are missing or can’t be right`);
  }
}

// Does one thing at a time, says that it takes time, and turns every failure into words.
let busy = false;
async function doing(words, root, work) {
  if (busy) return;
  busy = true;
  unmark(root);
  byId("trouble").hidden = true;
  say(words);
  try {
    await work();
    if (byId("status").textContent === words) say("");
  } catch (failure) {
    if (!(failure instanceof Trouble)) {
      complain({ title: "This page failed", message: "The fault is in the page. Your answers are still here; tell whoever runs the service.", errors: [] });
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
  await doing("Asking the service what it knows …", document.body, async () => {
    const listed = await ask("/v1/load-models");
    const book = await ask(`/v1/rulebooks/${encodeURIComponent(listed.rulebook.version)}`);
    const families = await ask("/v1/families");
    state.models = listed.models.map((model) => ({ ...model, inputs: model.inputs.map((asked) => worded(asked, OWN_WORDS[model.model]?.[asked.name])) }));
    state.titles = Object.fromEntries(families.families.map(({ id, title }) => [id, title]));
    caution(book.cautions);
    const surfaces = new Map(listed.models.flatMap((model) => model.surfaces).map(({ name, title }) => [name, title]));
    byId("things").append(...listed.models.map(({ model, title }) => option("thing", model, title, TOLD_APART[model])), option("thing", FORCES, "Something else: I know the forces from a calculation"));
    byId("thing-list").replaceChildren(...listed.models.flatMap((one) => [make("dt", {}, one.title), make("dd", {}, localised(thingWords(one)))]));
    byId("surfaces").append(...[...surfaces].map(([name, title]) => option("surface", name, title)));
    fillLists(book.allowed);
    state.conditions = book.allowed.site;
    state.taken = book.taken_when_unknown;
    await putBackAll(kept());
  });
  if (!state.models.length) {
    const again = make("button", { type: "button" }, "Try again");
    again.addEventListener("click", begin);
    byId("trouble").append(make("div", { class: "buttons" }, again));
  }
}

// The first caution stays in sight on every step; the rest is folded here and stands again beside what comes out.
function caution(cautions) {
  const demonstration = cautions.find(({ code }) => code === "demonstration_data");
  byId("first-notice").textContent = demonstration?.text ?? "";
  byId("first-word").textContent = demonstration ? `: ${demonstration.text.split(":")[0].toLowerCase()}` : "";
  byId("notice").replaceChildren(...cautions.filter((one) => one !== demonstration).map(({ text }) => make("li", {}, text)));
}

function fillLists(allowed) {
  for (const select of document.querySelectorAll("[data-listed]")) {
    const name = select.dataset.listed;
    const entries = allowed[name].map((one) => (typeof one === "string" ? { value: one } : { value: one[name], title: one.title }));
    fill(select, entries);
    for (const { value, title } of entries) if (title && value !== "unknown") state.titles[value] = title;
  }
  byId("conditions").append(...allowed.site.map(({ condition, title, values }) => {
    const select = make("select", { id: `condition-${condition}`, "data-condition": condition, "data-pointer": `#/site/${condition}` });
    fill(select, values.map(({ value }) => ({ value, title: SITE_WORDS[condition]?.[value] })));
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
    if (!thing) throw new Wrong([{ field: byId("things"), detail: "pick one of these; the last one is for all else" }]);
    if (state.model?.model !== thing) choose(thing);
    show("loads");
  });
});

function choose(thing) {
  const known = state.models.find(({ model }) => model === thing);
  state.model = known ?? { model: FORCES, title: "Forces that are known", words: "Take the forces from a calculation. They act in the concrete surface, at the centre of the plate: moments include force times height.", inputs: [] };
  byId("thing-words").textContent = localised(thingWords(state.model));
  byId("thing-axes").textContent = STANDS_FOR_LOADS.includes(thing) ? stand(thing, state.model.surfaces[0].name) : "";
  state.loads = null;
  state.surface = null;
  byId("inputs").replaceChildren(...ofInputs(state.model.inputs));
  byId("forces").hidden = Boolean(known);
  for (const input of byId("forces").querySelectorAll("[data-pointer]")) input.disabled = Boolean(known);
  OF_EXAMPLE.forEach((id, at) => {
    byId(id).value = "";
    byId(id).placeholder = `for example ${(EXAMPLES[thing] ?? EXAMPLE)[at]}`;
  });
  for (const id of ["plate-yield", "grout", "grout-strength"]) byId(id).value = "";
  for (const input of document.querySelectorAll('input[name="holes"], input[name="bedding"]')) input.checked = false;
  byId("shared").textContent = "";
  clearSides();
}

// 2

async function findLoads() {
  state.loads = state.model.model === FORCES ? known() : await modelled();
  surfaceIs(state.loads.surface.name);
  byId("loads-words").replaceChildren(...loads(state.loads, talk()));
}

form("loads").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("Working out the loads …", form("loads"), async () => {
    await findLoads();
    show("concrete");
  });
});

// Answers that have to be given because of others: the service would ask for them only when the rest is right.
function needed(values) {
  const told = { ...values, ...Object.fromEntries([...byId("inputs").querySelectorAll("select[data-pointer]")].map(({ name, value }) => [name, value])) };
  const open = (name) => told[name] === null || told[name] === "";
  const missing = (NEEDED[state.model.model] ?? []).filter(({ one, where }) => (!where || where(told)) && one.every(open));
  return missing.map(({ one }) => {
    const others = one.slice(1).map((name) => `“${nameOf(byId(`input-${name}`))}”`).join(" or ");
    return { field: byId(`input-${one[0]}`), detail: others ? `must be given, or ${others}` : "must be given" };
  });
}

// What one of several gets, so that a plate is not taken for a rod; how unevenly they share comes on top.
function tellShare() {
  const [name, one] = SHARED_BY[state.model?.model] ?? [];
  const { values } = figures(form("loads"));
  const [mass, count] = [values.mass_kg, values[name]];
  const several = name && typeof mass === "number" && count > 1;
  byId("shared").textContent = several ? `${shown(mass)} kg on ${count} ${name}: ${shown(mass / count)} kg on each ${one}, if they share alike. One ${one} is one plate with all its bolts or rods.` : "";
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
  if (!picked("surface")) wrong.push({ field: byId("surfaces").parentElement, detail: "say what it is fixed to" });
  if (!kind) wrong.push({ field: fieldAt("#/load_cases/0/kind"), detail: "say which kind they are" });
  if (!unread.length && !Object.entries(forces).some(([name, value]) => !name.endsWith("_share") && value !== 0)) wrong.push({ field: byId("all-forces"), detail: "give at least one force or moment that is not 0" });
  if (kind === "characteristic" && values["force-permanent_share"] === null) wrong.push({ field: byId("force-permanent_share"), detail: "must be given with characteristic values" });
  if (kind === "design" && forces.permanent_share !== undefined) wrong.push({ field: byId("force-permanent_share"), detail: "must be left empty with design values" });
  return wrong;
}

function known() {
  const forces = forcesIn(read("loads", wrongForces));
  return { surface: { name: picked("surface") }, load_cases: [{ name: "forces given", kind: picked("kind"), ...forces }] };
}

function tellAxes() {
  byId("axes").textContent = AXES[picked("surface")] ?? "";
}

// 3

function surfaceIs(name) {
  if (state.surface === name) return;
  const view = SURFACES[name];
  clearSides();
  state.surface = name;
  byId("stand").textContent = stand(state.model.model, name);
  for (const side of SIDES) {
    document.querySelector(`[data-side-words="${side}"]`).textContent = view.words[side];
    byId(`distance-${side}`).dataset.pointer = `#/member/edges/${view.edges[side]}_mm`;
  }
  const attached = `Size of what ${BESIDE_PLATE[name]} the plate, if known,`;
  const labels = { "plate-x": ["Size of the plate", "x"], "plate-y": ["Size of the plate", "y"], "section-x": [attached, "x"], "section-y": [attached, "y"], "spacing-x": ["Distance between holes", "x"], "spacing-y": ["Distance between holes", "y"] };
  for (const [id, [words, axis]] of Object.entries(labels)) document.querySelector(`label[for="${id}"]`).firstChild.textContent = `${words} ${view.along[axis]} `;
  document.querySelector('label[for="holes-row-x"]').textContent = `Two in a row ${view.along.x}`;
  document.querySelector('label[for="holes-row-y"]').textContent = `Two in a row ${view.along.y}`;
  pick("overhead", name === "soffit" ? "yes" : "no");
  sketch();
}

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
  const holes = picked("holes");
  byId("spacing-x").closest(".field").hidden = !holes || holes === "one" || holes === "row-y";
  byId("spacing-y").closest(".field").hidden = !holes || holes === "one" || holes === "row-x";
  byId("bedding").hidden = picked("bedding") !== "yes";
  for (const [name, [other, value]] of Object.entries(ONLY_WHERE[state.model?.model] ?? {})) byId(`input-${name}`).closest(".field").hidden = byId(`input-${other}`).value !== value;
}

// Distances as they were typed, null where there is no edge or no figure yet.
function edgeAnswers(values) {
  return Object.fromEntries(SIDES.map((side) => [side, picked(`edge-${side}`) === "yes" ? values[`distance-${side}`] ?? null : null]));
}

const FROM_WORDS = { middle: "from the middle of the plate", hole: "from the nearest hole", plate: "from the rim of the plate" };

function sketch() {
  if (!state.surface) return;
  const view = SURFACES[state.surface];
  const { values } = figures(form("concrete"));
  const answers = edgeAnswers(values);
  const measured = picked("measured");
  const words = [];
  const sides = {};
  for (const side of SIDES) {
    const label = answers[side] === null ? "" : `${shown(answers[side], 9)} mm`;
    sides[placeOf(view, side)] = { mm: answers[side], label, words: view.words[side] };
    if (answers[side] !== null) words.push(`${view.words[side]} ${label} ${FROM_WORDS[measured] ?? ""}`.trim());
    else if (picked(`edge-${side}`) === "no") words.push(`${view.words[side]} none within ${ASKED_WITHIN_MM / 1000} m`);
  }
  byId("plan").replaceChildren(plan(sides, measured, view.looking));
  byId("plan-words").textContent = `${view.seen} ${words.length ? `Edges, not to scale: ${words.join("; ")}.` : "The square is the plate. Edges show here as you answer."}`;
}

form("concrete").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("", form("concrete"), async () => {
    read("concrete", wrongSides);
    tellNearest();
    show("plate");
  });
});

function wrongSides(values, unread) {
  const wrong = [];
  if (!byId("measured").hidden && !picked("measured")) wrong.push({ field: byId("measured"), detail: "say from where you measured; it makes a difference of many millimetres" });
  for (const side of SIDES) {
    const answer = picked(`edge-${side}`);
    const distance = values[`distance-${side}`] ?? null;
    const field = byId(`distance-${side}`);
    if (!answer) wrong.push({ field: document.querySelector(`[data-side="${side}"]`), detail: "answer yes or no; if you don’t know, find out before you go on" });
    if (answer === "yes" && distance === null && !unread.some((one) => one.field === field)) wrong.push({ field, detail: "must be given" });
    if (answer === "yes" && distance === 0 && picked("measured") !== "plate") wrong.push({ field, detail: "“0” was given; the concrete has to reach beyond the hole" });
  }
  return wrong;
}

// 4

function situation(values) {
  return { view: SURFACES[state.surface], answers: edgeAnswers(figures(form("concrete")).values), measured: picked("measured"), values, holes: picked("holes") };
}

// How far the nearest hole is from each edge, as the plate is being described.
function tellNearest() {
  if (!state.surface) return;
  const { values } = figures(form("plate"));
  const needed = ["plate-x", "plate-y", ...["spacing-x", "spacing-y"].filter((id) => !byId(id).closest(".field").hidden)];
  const lines = picked("holes") && needed.every((id) => typeof values[id] === "number") ? nearestHoles(situation(values)) : [];
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
  const wrong = ["section-x", "section-y"].filter((name) => (values["section-x"] === null) !== (values["section-y"] === null) && values[name] === null).map((name) => ({ field: byId(name), detail: "must be given beside the other size" }));
  if (!picked("holes")) wrong.push({ field: byId("holes"), detail: "say how many, or have several tried" });
  if (!picked("bedding")) wrong.push({ field: byId("bedding-asked"), detail: "answer yes or no" });
  return [...wrong, ...impossible(situation(values)).map(({ id, detail }) => ({ field: byId(id), detail }))];
}

function pattern(values) {
  const holes = picked("holes");
  const counts = { any: [[1, 2], [1, 2]], one: [[1], [1]], "row-x": [[2], [1]], "row-y": [[1], [2]], four: [[2], [2]] }[holes];
  const axis = (of, spacing) => given({ counts: of, spacings_mm: of.includes(2) ? [spacing] : null });
  return { x: axis(counts[0], values["spacing-x"]), y: axis(counts[1], values["spacing-y"]) };
}

// 5

function request() {
  const concrete = read("concrete");
  const plate = read("plate");
  const view = SURFACES[state.surface];
  const middle = fromMiddle(situation(plate));
  const edges = Object.fromEntries(SIDES.map((side) => [`${view.edges[side]}_mm`, middle[side]]));
  const section = plate["section-x"] === null ? null : { width_mm: plate["section-x"], depth_mm: plate["section-y"] };
  const grout = picked("bedding") === "yes" ? given({ thickness_mm: plate.grout, strength_mpa: plate["grout-strength"] }) : null;
  const conditions = [...byId("conditions").querySelectorAll("select")].map((select) => [select.dataset.condition, select.value]);
  return given({
    fixing_reference: byId("reference").value.trim(),
    member: given({ strength_class: byId("strength").value, state: byId("state").value, thickness_mm: concrete.thickness, edges: given(edges) }),
    fixture: given({ width_mm: plate["plate-x"], depth_mm: plate["plate-y"], thickness_mm: plate["plate-thickness"], yield_mpa: plate["plate-yield"], attached_section: section, grout }),
    load_cases: state.loads.load_cases,
    use: { overhead: picked("overhead") === "yes", redundant: picked("redundant") === "yes", structural: picked("structural") === "yes", exposure: byId("exposure").value, hole: byId("hole").value, temperature_range: byId("temperature").value },
    site: Object.fromEntries(conditions),
    pattern: pattern(plate),
  });
}

// Questions that were answered with "Not known", or left open where that means the same.
function notKnown() {
  const selects = [...document.querySelectorAll("form.step select[data-pointer]")].filter(isUnknown);
  const mortar = picked("bedding") === "yes" && !byId("grout-strength").value.trim() ? [byId("grout-strength")] : [];
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
  doing("Looking for fixings …", document.body, async () => {
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
  doing("Checking this one in full …", document.body, async () => {
    await check(choice, name);
    show("why");
  });
}

async function check(choice, name) {
  state.verified = await ask("/v1/verifications", choice.request);
  state.chosen = choice;
  state.name = name;
  byId("why-title").textContent = `Why ${name}?`;
  offerRecord();
  explain();
}

function explain() {
  const words = talk(state.chosen);
  byId("why").replaceChildren(...verification(state.verified, state.loads, words), ...part("Why it ranks here", ranks(state.chosen.reasons, words)));
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
function named() {
  const names = [["job", byId("job").value.trim()], ["fixing", byId("reference").value.trim()]].filter(([, name]) => name);
  return names.length ? ` of ${names.map(([what, name]) => `${what} “${name}”`).join(", ")}` : "";
}

byId("sheet-form").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("Making the sheet …", form("why"), async () => {
    byId("sheet-link").replaceChildren();
    const values = read("why");
    const body = given({ job: byId("job").value.trim(), counts: values.count === null ? null : [values.count], concrete_temperature_c: values["concrete-temperature"] });
    const sides = [sideNames(state.model.model, state.surface)];
    const sheet = await ask("/v1/installation-sheets", { ...body, side_names: sides, fixings: [state.chosen.request] }, "text/html");
    const link = make("a", { href: handOver("sheet", sheet), target: "_blank" }, `Open the sheet${named()}, to print it (new window)`);
    byId("sheet-link").replaceChildren(link);
    say("The sheet is ready.");
    link.focus();
  });
});

// Throughout

document.addEventListener("click", (event) => {
  if (event.target.matches("[data-back]")) history.back();
});
byId("again").addEventListener("click", () => {
  if (!confirm("Drop all answers of this page and start again? They can’t be got back.")) return;
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
addEventListener("offline", () => say("This device is offline. Your answers are still here."));
addEventListener("online", () => say("This device is online again."));
for (const input of byId("forces").querySelectorAll("[data-number]")) place(input, nameOf(input));
pick("shown", "kN");
pick("redundant", "no");
pick("structural", "yes");
begin();
