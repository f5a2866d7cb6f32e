// The way through the questions.

import { loads, part, sizing, verification } from "./answers.js";
import { Trouble, ask } from "./calls.js";
import { byId, fieldAt, figures, fill, make, mark, named, ofInput, option, pick, picked, place, unmark } from "./fields.js";
import { plan } from "./plan.js";

const SLAB = {
  edges: { top: "x_plus", bottom: "x_minus", left: "y_plus", right: "y_minus" },
  words: { top: "ahead of you", bottom: "behind you", left: "to your left", right: "to your right" },
  along: { x: "from front to back", y: "from left to right" },
};
const SURFACES = {
  top_of_slab: { ...SLAB, stand: "Stand on the concrete and face the way that x points in the loads you gave." },
  soffit: { ...SLAB, edges: { ...SLAB.edges, left: "y_minus", right: "y_plus" }, stand: "Stand under the fixing and face along the pipe, or the way that x points in the loads you gave." },
  vertical_face: {
    edges: { top: "y_plus", bottom: "y_minus", left: "x_minus", right: "x_plus" },
    words: { top: "above", bottom: "below", left: "to the left", right: "to the right" },
    along: { x: "from left to right", y: "from bottom to top" }, stand: "Stand in front of the wall and look at it.",
  },
};
const STANDS = {
  guardrail_post: { top_of_slab: "Stand on the concrete and look outwards over the edge, the way people may push the railing." },
  racking_upright: { top_of_slab: "Stand on the concrete and look across the rack, towards the other upright of the frame." },
};
const FORCES = "forces";
const EXAMPLE_PLATES = {
  soffit_hanger: ["100", "100", "8", "one", "60", "60"], pipe_clamp: ["200", "100", "8", "row-x", "130", "60"], eyebolt: ["100", "100", "10", "one", "60", "60"],
  machine_base: ["500", "400", "20", "four", "400", "300"], racking_upright: ["180", "140", "10", "any", "110", "80"],
};
const EXAMPLE_PLATE = ["220", "220", "15", "any", "150", "150"];
const SIDES = ["top", "bottom", "left", "right"];
const STEPS = ["thing", "loads", "concrete", "plate", "site", "answer", "why"];

const state = { models: [], surfaces: [], model: null, surface: null, loads: null, sizing: null, chosen: null, verified: null, name: "", sheet: null, record: null };

const form = (step) => byId(`step-${step}`);
const say = (words) => { byId("status").textContent = words; };
const shownUnit = () => picked("shown") ?? "kN";

function show(step, { remember = true, focus = true } = {}) {
  for (const other of STEPS) form(other).hidden = other !== step;
  byId("trouble").hidden = true;
  say("");
  const title = form(step).querySelector("h2");
  document.title = `${title.textContent} – Which fixing holds this?`;
  if (remember) history.pushState({ step }, "");
  if (focus) {
    title.focus();
    title.scrollIntoView();
  }
}

// What went wrong, in words, with a link to each field; the words also stand at the field.
function complain({ title, message, errors }) {
  const lines = errors.map(({ detail, pointer, field }) => {
    const at = field ?? fieldAt(pointer);
    if (!at) return `${pointer ?? ""} ${detail}`.trim();
    const unit = at.dataset?.unit;
    const words = unit && unit !== "1" && /\d$/.test(detail) ? `${detail} ${unit}` : detail;
    const control = mark({ field: at, detail: words });
    const step = at.closest(".step");
    const link = make("a", { href: `#${control.id}` }, `${nameOf(at)}: ${words}`);
    link.addEventListener("click", (event) => {
      event.preventDefault();
      const name = step.id.replace("step-", "");
      if (step.hidden) show(name, { focus: false });
      control.focus();
    });
    return link;
  });
  const box = byId("trouble");
  box.replaceChildren(make("h2", {}, title), make("p", {}, message), make("ul", {}, ...lines.map((line) => make("li", {}, line))));
  if (!lines.length) box.lastChild.remove();
  box.hidden = false;
  say("");
  box.focus();
  box.scrollIntoView();
}

function nameOf(field) {
  const label = field.matches("fieldset") ? field.querySelector("legend") : field.closest(".field")?.querySelector("label");
  return (label?.textContent ?? "").replace(/\s+/g, " ").trim();
}

class Wrong extends Trouble {
  constructor(errors) {
    super("Look at these answers again.", errors, errors.length === 1 ? "One answer is missing or can’t be read" : `${errors.length} answers are missing or can’t be read`);
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

function read(step) {
  const { values, wrong } = figures(form(step));
  if (wrong.length) throw new Wrong(wrong);
  return values;
}

const given = (entries) => Object.fromEntries(Object.entries(entries).filter(([, value]) => value !== null && value !== undefined && value !== ""));

// 1

async function begin() {
  await doing("Asking the service what it knows …", document.body, async () => {
    const listed = await ask("/v1/load-models");
    const book = await ask(`/v1/rulebooks/${encodeURIComponent(listed.rulebook.version)}`);
    state.models = listed.models;
    const surfaces = listed.models.flatMap((model) => model.surfaces);
    state.surfaces = [...new Map(surfaces.map((surface) => [surface.name, surface])).values()];
    byId("notice").replaceChildren(...book.cautions.map(({ text }) => make("li", {}, text)));
    const things = listed.models.map(({ model, title, words }) => option("thing", model, title, words));
    byId("things").append(...things, option("thing", FORCES, "Something else: I know the forces", "You give the forces and moments yourself, from somebody’s calculation."));
    byId("surfaces").append(...state.surfaces.map(({ name, title }) => option("surface", name, title)));
    fillLists(book.allowed);
    show("thing", { remember: false, focus: false });
    history.replaceState({ step: "thing" }, "");
  });
  if (!state.models.length) {
    const again = make("button", { type: "button" }, "Try again");
    again.addEventListener("click", begin);
    byId("trouble").append(make("div", { class: "buttons" }, again));
  }
}

function fillLists(allowed) {
  for (const select of document.querySelectorAll("[data-listed]")) {
    const name = select.dataset.listed;
    fill(select, allowed[name].map((one) => (typeof one === "string" ? { value: one } : { value: one[name], title: one.title })));
  }
  byId("conditions").append(...allowed.site.map(({ condition, title, values }) => {
    const select = make("select", { id: `condition-${condition}`, "data-condition": condition, "data-pointer": `#/site/${condition}` });
    fill(select, values);
    return make("div", { class: "field" }, make("label", { for: select.id }, title), select);
  }));
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

const axesOf = (surface) => `${surface.title}: x points ${surface.x}. y points ${surface.y}.`;

// Whether somebody has to know where x and y point to answer.
function asksForAxes({ inputs }) {
  return inputs.some(({ name, allowed }) => /_[xy]_|azimuth/.test(name) || allowed?.some(({ value }) => value === "x"));
}

function choose(thing) {
  const known = state.models.find(({ model }) => model === thing);
  state.model = known ?? { model: FORCES, title: "Forces that are known", words: "Take the forces from a calculation. They act in the concrete surface, at the centre of the plate: moments include force times height.", inputs: [] };
  byId("thing-words").textContent = state.model.words;
  byId("thing-axes").textContent = asksForAxes(state.model) ? state.model.surfaces.map(axesOf).join(" ") : "";
  state.loads = null;
  byId("inputs").replaceChildren(...state.model.inputs.map((asked) => ofInput(asked, state.model.inputs)));
  byId("forces").hidden = Boolean(known);
  for (const input of byId("forces").querySelectorAll("[data-pointer]")) input.disabled = Boolean(known);
  const [x, y, thickness, holes, spacingX, spacingY] = EXAMPLE_PLATES[thing] ?? EXAMPLE_PLATE;
  Object.entries({ "plate-x": x, "plate-y": y, "plate-thickness": thickness, "plate-yield": "235", grout: "0", "spacing-x": spacingX, "spacing-y": spacingY })
    .forEach(([id, value]) => { byId(id).value = value; });
  pick("holes", holes);
  asked();
}

// 2

form("loads").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("Working out the loads …", form("loads"), async () => {
    state.loads = state.model.model === FORCES ? known() : await modelled();
    surfaceIs(state.loads.surface.name);
    byId("loads-words").replaceChildren(...loads(seenFromHere(state.loads), shownUnit()));
    show("concrete");
  });
});

async function modelled() {
  const values = read("loads");
  const words = Object.fromEntries([...byId("inputs").querySelectorAll("[data-pointer]:is(select)")].map((select) => [select.name, select.value]));
  return ask(state.model.path, given({ ...values, ...words }));
}

function known() {
  const values = read("loads");
  const wrong = [];
  const surface = picked("surface");
  const kind = picked("kind");
  if (!surface) wrong.push({ field: byId("surfaces").parentElement, detail: "say what it is fixed to" });
  if (!kind) wrong.push({ field: fieldAt("#/load_cases/0/kind"), detail: "say which kind they are" });
  const forces = given(Object.fromEntries(Object.entries(values).map(([name, value]) => [name.replace("force-", ""), value])));
  if (!Object.entries(forces).some(([name, value]) => !name.endsWith("_share") && value !== 0)) wrong.push({ field: byId("all-forces"), detail: "give at least one force or moment that is not 0" });
  if (kind === "characteristic" && forces.permanent_share === undefined) wrong.push({ field: byId("force-permanent_share"), detail: "must be given with characteristic values" });
  if (kind === "design" && forces.permanent_share !== undefined) wrong.push({ field: byId("force-permanent_share"), detail: "must be left empty with design values" });
  if (wrong.length) throw new Wrong(wrong);
  return { surface: state.surfaces.find(({ name }) => name === surface), load_cases: [{ name: "forces given", kind, ...forces }] };
}

function tellAxes() {
  const surface = state.surfaces.find(({ name }) => name === picked("surface"));
  if (surface) byId("axes").textContent = axesOf(surface);
}

// 3

function surfaceIs(name) {
  const view = SURFACES[name];
  if (state.surface && state.surface !== name) clearSides();
  state.surface = name;
  byId("stand").textContent = STANDS[state.model.model]?.[name] ?? view.stand;
  for (const side of SIDES) {
    document.querySelector(`[data-side-words="${side}"]`).textContent = view.words[side];
    byId(`distance-${side}`).dataset.pointer = `#/member/edges/${view.edges[side]}_mm`;
  }
  const labels = { "plate-x": ["Size of the plate", "x"], "plate-y": ["Size of the plate", "y"], "section-x": ["Size of what stands on the plate, if known,", "x"], "section-y": ["Size of what stands on the plate, if known,", "y"], "spacing-x": ["Distance between holes", "x"], "spacing-y": ["Distance between holes", "y"] };
  for (const [id, [words, axis]] of Object.entries(labels)) document.querySelector(`label[for="${id}"]`).firstChild.textContent = `${words} ${view.along[axis]} `;
  document.querySelector('label[for="holes-row-x"]').textContent = `Two in a row ${view.along.x}`;
  document.querySelector('label[for="holes-row-y"]').textContent = `Two in a row ${view.along.y}`;
  if (!picked("overhead") || state.loads) pick("overhead", name === "soffit" ? "yes" : "no");
  sketch();
}

// What was answered for one surface says nothing about another.
function clearSides() {
  for (const side of SIDES) {
    for (const input of document.querySelectorAll(`input[name="edge-${side}"]`)) input.checked = false;
    byId(`distance-${side}`).value = "";
  }
  asked();
}

function asked() {
  for (const side of SIDES) byId(`distance-${side}`).closest(".distance").hidden = picked(`edge-${side}`) !== "yes";
  const holes = picked("holes");
  byId("spacing-x").closest(".field").hidden = holes === "one" || holes === "row-y";
  byId("spacing-y").closest(".field").hidden = holes === "one" || holes === "row-x";
}

function sketch() {
  if (!state.surface) return;
  const view = SURFACES[state.surface];
  const { values } = figures(form("concrete"));
  const edges = {};
  const words = [];
  for (const side of SIDES) {
    const mm = picked(`edge-${side}`) === "yes" ? values[`distance-${side}`] ?? null : null;
    edges[side] = { mm, label: mm === null ? "" : `${byId(`distance-${side}`).value.trim()} mm` };
    if (mm !== null) words.push(`${view.words[side]} ${edges[side].label} from the centre of the plate`);
    else if (picked(`edge-${side}`) === "no") words.push(`${view.words[side]} none within 2 m`);
  }
  byId("plan").replaceChildren(plan(edges));
  byId("plan-words").textContent = words.length ? `Edges, not to scale: ${words.join("; ")}.` : "The square is the plate. Edges show here as you answer.";
}

form("concrete").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("", form("concrete"), async () => {
    const values = read("concrete");
    const wrong = [];
    if (values.thickness === null) wrong.push({ field: byId("thickness"), detail: "must be given" });
    for (const side of SIDES) {
      const answer = picked(`edge-${side}`);
      if (!answer) wrong.push({ field: document.querySelector(`[data-side="${side}"]`), detail: "answer yes or no; if you don’t know, find out before you go on" });
      if (answer === "yes" && (values[`distance-${side}`] ?? null) === null) wrong.push({ field: byId(`distance-${side}`), detail: "must be given" });
    }
    if (wrong.length) throw new Wrong(wrong);
    show("plate");
  });
});

// 4

form("plate").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("", form("plate"), async () => {
    const values = read("plate");
    const needed = ["plate-x", "plate-y", "plate-thickness", "spacing-x", "spacing-y"].filter((name) => values[name] === null);
    const half = ["section-x", "section-y"].filter((name) => (values["section-x"] === null) !== (values["section-y"] === null) && values[name] === null);
    if (needed.length || half.length) throw new Wrong([...needed, ...half].map((name) => ({ field: byId(name), detail: "must be given" })));
    show("site");
  });
});

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
  const edges = Object.fromEntries(SIDES.map((side) => [`${view.edges[side]}_mm`, picked(`edge-${side}`) === "yes" ? concrete[`distance-${side}`] : null]));
  const section = plate["section-x"] === null ? null : { width_mm: plate["section-x"], depth_mm: plate["section-y"] };
  const grout = given({ thickness_mm: plate.grout, strength_mpa: plate["grout-strength"] });
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

form("site").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("Looking for fixings …", document.body, async () => {
    state.sizing = await ask("/v1/sizings", request());
    tell();
    show("answer");
  });
});

// The API names edges by the axes; whoever answered knows them by where they lie.
function seenFromHere(answer) {
  const view = SURFACES[state.surface];
  const words = Object.fromEntries(SIDES.map((side) => [view.edges[side], view.words[side]]));
  const seen = (text) => text
    .replace(/\b([xy]) (minus|plus) edge\b/g, (_, axis, way) => `edge ${words[`${axis}_${way}`]},`)
    .replace(/\b[xy]_(minus|plus)\b/g, (edge) => words[edge])
    .replace("from the origin", "from the centre of the plate");
  const told = (_, value) => (typeof value === "string" ? named(seen(value), state.model.inputs) : value);
  return JSON.parse(JSON.stringify(answer), told);
}

function tell() {
  const openOne = ({ rank }, name) => open(state.sizing.choices.find((one) => one.rank === rank), name);
  byId("answer").replaceChildren(...sizing(seenFromHere(state.sizing), seenFromHere(state.loads), shownUnit(), openOne));
}

// 6

function open(choice, name) {
  doing("Checking this one in full …", document.body, async () => {
    state.verified = await ask("/v1/verifications", choice.request);
    state.chosen = choice;
    state.name = name;
    byId("why-title").textContent = `Why ${name}?`;
    keep();
    explain();
    show("why");
  });
}

function explain() {
  byId("why").replaceChildren(...part("Why it ranks here", state.chosen.reasons), ...verification(seenFromHere(state.verified), seenFromHere(state.loads), shownUnit()));
}

function handOver(kind, blob) {
  if (state[kind]) URL.revokeObjectURL(state[kind]);
  state[kind] = URL.createObjectURL(blob);
  return state[kind];
}

// The very thing that /v1/replays takes.
function keep() {
  const record = JSON.stringify({ request: state.chosen.request, answer: state.verified }, null, 2);
  const link = byId("record-link");
  link.href = handOver("record", new Blob([record], { type: "application/json" }));
  link.download = `fixing-${state.verified.record.id.slice(7, 19)}.json`;
  byId("sheet-link").replaceChildren();
}

byId("sheet-form").addEventListener("submit", (event) => {
  event.preventDefault();
  doing("Making the sheet …", form("why"), async () => {
    byId("sheet-link").replaceChildren();
    const values = read("why");
    const body = given({ job: byId("job").value.trim(), counts: values.count === null ? null : [values.count], concrete_temperature_c: values["concrete-temperature"] });
    const sheet = await ask("/v1/installation-sheets", { ...body, fixings: [state.chosen.request] }, "text/html");
    const link = make("a", { href: handOver("sheet", sheet), target: "_blank" }, "Open the sheet, to print it (new window)");
    byId("sheet-link").replaceChildren(link);
    say("The sheet is ready.");
    link.focus();
  });
});

// Throughout

document.addEventListener("click", (event) => {
  if (event.target.matches("[data-back]")) history.back();
});
// An answer to questions that were changed since is not shown again.
function stillTrue(step) {
  const at = STEPS.indexOf(step);
  if (at > STEPS.indexOf("loads") && !state.loads) return "loads";
  return at > STEPS.indexOf("site") && !state.sizing ? "site" : step;
}
document.addEventListener("input", ({ target }) => {
  const step = target.closest("form.step");
  if (!step) return;
  state.sizing = null;
  if (step === form("loads")) state.loads = null;
});
addEventListener("popstate", ({ state: kept }) => { if (kept?.step) show(stillTrue(kept.step), { remember: false }); });
document.addEventListener("change", ({ target }) => {
  asked();
  if (target.name === "surface") tellAxes();
  if (target.name === "shown") {
    tell();
    byId("loads-words").replaceChildren(...loads(seenFromHere(state.loads), shownUnit()));
    if (state.verified) explain();
  }
});
// While typing, not on leaving the field: what moves then moves away from under a finger.
form("concrete").addEventListener("input", () => {
  asked();
  sketch();
});
addEventListener("offline", () => say("This device is offline. Your answers are still here."));
addEventListener("online", () => say("This device is online again."));
for (const input of byId("forces").querySelectorAll("[data-number]")) place(input);
pick("shown", "kN");
pick("redundant", "no");
pick("structural", "yes");
begin();
