// Answers of the API in sentences with their figures. `talk` knows the words of the page: see words.js.

import { nearestFasteners } from "./edges.js";
import { make } from "./fields.js";
import { force, percent, show, takes } from "./numbers.js";

const MODES = {
  steel_tension: "steel in tension", concrete_cone: "concrete cone breaking out", pull_out: "pull-out", bond: "bond of the resin with concrete cone",
  splitting: "splitting of the concrete", blow_out: "blow-out at the side", steel_shear: "steel in shear", steel_shear_lever_arm: "steel in shear with lever arm",
  pry_out: "pry-out", concrete_edge: "concrete edge breaking off", interaction_steel: "pull and shear together, steel",
  interaction_concrete: "pull and shear together, concrete", simplified_resultant: "pull and shear together, by tests on site",
};
// What holds for every answer of a rulebook; all other cautions belong to the fixing itself.
const GENERAL = ["demonstration_data", "assessment_governs", "member_not_checked", "static_actions_only"];
const ALONE = "Where the hanger gives way nothing else takes its load: what hangs there needs a second hold where people walk.";
const NOT_CHECKED = ["member_not_checked", "static_actions_only", "plate_not_checked"];
// These differ from one choice to the next: beside a choice they are true, over all choices they contradict one another.
// The day stands below each answer.
const NOT_OF_ALL = ["assessed_on_today", "splitting_not_needed", "length_chosen", "length_not_chosen"];

// How far away an edge has to be that was answered with “No”: it may be farther than the page asked about.
const FARTHER = ["edges_out_of_reach"];

// What was done, where nobody had to say anything.
const NOBODY_SAID = /(?:_unknown|_not_given|edges_out_of_reach)$/;

const modeWords = (mode) => MODES[mode] ?? mode.replaceAll("_", " ");
const mm = (value) => `${show(value)} mm`;
const paragraph = (words) => make("p", {}, words);
const items = (lines) => make("ul", {}, ...lines.map((line) => make("li", {}, line)));
const upper = (words) => words.charAt(0).toUpperCase() + words.slice(1);
const sentence = (words) => (/[.!?]$/.test(words) ? upper(words) : `${upper(words)}.`);

export function part(title, lines) {
  return lines.length ? [make("h3", {}, title), items(lines.map(sentence))] : [];
}

export function folded(title, lines) {
  return lines.length ? [make("details", {}, make("summary", {}, title), items(lines.map((line) => (typeof line === "string" ? sentence(line) : line))))] : [];
}

const texts = (entries, talk) => [...new Set(entries.map(({ text }) => talk.plain(text)))];
const withCodes = (entries, codes) => entries.filter(({ code }) => codes.includes(code));
const withoutCodes = (entries, codes) => entries.filter(({ code }) => !codes.includes(code));

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

// The service leaves out what only presses, as no fastener feels it; the push that is named is then not the largest.
function leftOut({ actions = [], load_cases: cases }) {
  const without = actions.filter(({ situation }) => !cases.some(({ name }) => name.startsWith(situation)));
  const presses = ({ permanent, variable }) => Object.keys(permanent).every((name) => (name === "normal_kn" ? permanent[name] + variable[name] < 0 : permanent[name] + variable[name] === 0));
  return without.some(presses) ? " What only presses, without pushing aside, bending or twisting, is left out of these figures." : "";
}

function loadWords(answer, unit) {
  const kind = answer.load_cases[0].kind === "design" ? "partial factors are in these figures" : "partial factors come on top of these figures";
  const count = answer.load_cases.length;
  return paragraph(`The fixing has to hold ${largest(answer.load_cases, unit)} (${kind}; ${count === 1 ? "one load case" : `the largest of ${count} load cases`}).${leftOut(answer)}`);
}

const figured = ({ words, value, unit }, talk) => `${talk.plain(words)}: ${show(value)}${unit === "1" ? "" : ` ${unit}`}`;

// The weight as it was taken, so that a mass of one metre is not taken for that of all.
function weighed(answer, talk) {
  const weights = (answer.working ?? []).filter(({ words, value, unit }) => unit === "kN" && /weight/i.test(words) && value > 0);
  return weights.map(({ words, value }) => sentence(`${upper(talk.plain(words))}: ${force(value, "kg")}`));
}

export function loads(answer, talk) {
  const more = [
    ...part("What was taken", texts(answer.assumptions ?? [], talk)),
    ...part("The figures", (answer.working ?? []).filter(({ value }) => value !== null).map((one) => figured(one, talk))),
    ...part("What to beware of", ofLoads(answer, talk)),
  ];
  const fold = more.length ? [make("details", {}, make("summary", {}, "How these loads were found, and what to beware of"), ...more)] : [];
  const one = talk.shared ? [make("p", {}, make("strong", {}, `These loads are those of one ${talk.shared}, which is one plate with all its bolts or rods:`))] : [];
  return [...one, loadWords(answer, talk.unit), ...weighed(answer, talk).map(paragraph), ...fold];
}

// Without the cautions that go with everything, which stand at the top of the page and beside the figures.
const ofLoads = (answer, talk) => texts(withoutCodes(answer.cautions ?? [], GENERAL).map((one) => (one.code === "one_hanger_fails" && !talk.shared ? { ...one, text: ALONE } : one)), talk);

function suspended(answer, talk) {
  return part("Suspended for new work", (answer.suspensions ?? []).map((one) =>
    `${one.family ? talk.plain(one.family) : `Rulebook ${one.version}`}${one.size ? ` ${one.size}` : ""} is suspended since ${one.since}: ${one.reason}`));
}

// What was taken in place of an answer, without the words that its question has already.
function inPlaceOf(pointer, entries, talk) {
  const entry = entries.find((one) => one.pointer === pointer);
  // What differs from one fastener to the next the service tells of each; of mortar it is the same for all.
  if (!entry) return pointer === "#/fixture/grout/strength_mpa" ? ": taken to carry nothing" : talk.takenWhereItMatters(pointer);
  const text = talk.plain(entry.text);
  const short = text.match(/(?:taken as|taken to|every resistance times) .*$/)?.[0] ?? text;
  const weaker = entry.code === "strength_unknown" ? "; weaker concrete is not covered: have it tested" : "";
  return `: ${short}${weaker}`;
}

// Answers of "Not known", each a way back to its question, and what was taken in its place.
function notKnown(unknown, entries, talk, opening) {
  if (!unknown.length) return [];
  const count = unknown.length === 1 ? "One answer was “Not known”" : `${unknown.length} answers were “Not known”`;
  const lines = unknown.map(({ label, pointer, go }) => {
    const link = make("a", { href: "#" }, label);
    link.addEventListener("click", (event) => {
      event.preventDefault();
      go();
    });
    return make("span", {}, link, inPlaceOf(pointer, entries, talk));
  });
  return [make("div", { class: "unknown" }, make("p", {}, make("strong", {}, `${count}: ${opening}`)), items(lines))];
}

function holes({ hole, positions }) {
  if (!hole || hole.diameter_mm === null) return `${positions.length} are needed; nothing is drilled.`;
  return `Drill ${hole.count === 1 ? "one hole" : `${hole.count} holes`} of ${mm(hole.diameter_mm)} in the concrete; the sheet says how deep for this plate.`;
}

const WHEN = { through_fixture: "The holes in the concrete are drilled through the plate in its place", before_fixture: "The holes in the concrete are drilled before the plate is there" };

// What the plate has to be like for it, from the rulebook's own entry for the fastener.
function plateWords({ hole, fastener }, talk) {
  if (!hole || hole.diameter_mm === null) return [];
  const { setting, sizes } = talk.family(fastener.family);
  const widest = sizes[fastener.size].geometry.clearance_hole_mm;
  return [paragraph(`${widest === null ? "" : `Holes in the plate at most ${mm(widest)}. `}${WHEN[setting]}.`)];
}

// The tool that was answered, and no other: the fixing was verified with it alone, as on the sheet.
function tightening({ request, torque_nm: torque, impact_driver_torque_max_nm: driver }) {
  const tool = request.site?.torque_control;
  if (tool === "calibrated_wrench" && torque !== null) return `Tighten with a torque wrench, ${show(torque)} Nm, as the sheet says`;
  if (tool === "impact_driver_set" && driver !== null) return `Tighten with the impact driver, set to ${show(driver)} Nm at most, as the sheet says`;
  return "Tighten as the sheet says";
}

function about(choice, talk) {
  const { fastener, comparison, reasons } = choice;
  const lines = [`Each fastener is ${mm(fastener.length_mm)} long and holds ${mm(fastener.embedment_mm)} deep (effective embedment); article ${fastener.article_code}.`];
  if (comparison.holes) lines.push(`${tightening(choice)}.`);
  lines.push(comparison.removable ? "It can be taken out again." : "It can’t be taken out again.");
  if (comparison.edge_left_over_mm !== null) lines.push(`The nearest edge is ${mm(comparison.edge_left_over_mm)} farther away than it has to be.`);
  return [...lines, ...ranks(reasons, talk)];
}

// What governs stands above them already, and with more digits.
export const ranks = (reasons, talk) => reasons.filter((reason) => !/^Passes: .* governs /.test(reason)).map(talk.plain);

function howItStands({ governing, utilisation }, talk) {
  if (utilisation === null) return [];
  return [paragraph(`${upper(takes(utilisation))}; ${modeWords(governing.mode)} governs, in load case “${talk.plain(governing.load_case)}”.`)];
}

function beware(cautions, talk) {
  const lines = texts(cautions, talk);
  return lines.length ? [make("div", { class: "beware" }, make("p", {}, make("strong", {}, "Beware, before these figures:")), items(lines))] : [];
}

export function edgesOf(talk, request, positions) {
  const distances = nearestFasteners(talk.view, request.member.edges, positions);
  return distances.length ? [paragraph(`From the nearest fastener: ${distances.join(", ")}.`)] : [];
}

function choice(one, general, talk, open) {
  const { fastener, positions } = one;
  const name = `${positions.length} × ${fastener.title}, size ${fastener.size}`;
  const button = make("button", { type: "button", "aria-label": `See why number ${one.rank}, ${name}` }, "See why");
  button.addEventListener("click", () => open(one.rank, name));
  const own = withoutCodes(one.cautions, GENERAL);
  return make("article", {}, make("h3", {}, `${one.rank}. ${name}`), ...beware([...own, ...withCodes(general, ["demonstration_data"])], talk),
    paragraph(holes(one)), ...plateWords(one, talk), ...edgesOf(talk, one.request, positions), ...howItStands(one, talk),
    ...folded("More about it, and why it ranks here", about(one, talk)), make("div", { class: "buttons" }, button));
}

function wouldHelp({ pointer, given, needed, detail }, talk) {
  const side = pointer.match(/^#\/member\/edges\/([xy]_(?:minus|plus))_mm$/)?.[1];
  const admitted = talk.plain(detail.slice(detail.indexOf(" would admit ")));
  if (side) return `The edge ${talk.edge(side)} ${mm(needed)} from the middle of the plate in place of ${mm(given)}${admitted}`;
  return talk.plain(detail);
}

function nothing(answer, talk, unknown, entries) {
  const titles = Object.fromEntries(answer.rejected.map(({ family, title }) => [family, title]));
  const groups = answer.rejected_groups.map((group) => `${sentence(talk.plain(group.detail))} This stops: ${group.families.map((one) => titles[one] ?? talk.plain(one)).join("; ")}.`);
  const near = answer.rejected.filter(({ nearest }) => nearest?.utilisation).map(({ title, nearest, cause }) =>
    `${title}: the nearest was ${nearest.positions_count} × ${nearest.size}, where ${takes(nearest.utilisation)}. ${sentence(talk.plain(cause.detail))}`);
  const helps = answer.relaxations.map((one) => wouldHelp(one, talk));
  const other = "A thicker or larger plate, more holes farther apart, holes farther from the edge, more fixings that share the load, or a smaller load may help.";
  return [
    ...notKnown(unknown, entries, talk, "this was taken. Tell what you can and try again: that may be all it takes."),
    paragraph("Nothing in the rulebook passes for what you have told. Don’t build with the nearest thing: change what can be changed, or ask a structural engineer."),
    ...part("What would help, changed by itself", helps),
    ...(helps.length ? [] : [paragraph(unknown.length ? other : `The service tried single changes of an answer and found none that helps. ${other}`)]),
    ...part("Why nothing passes", groups),
    ...folded("How near each came", near),
  ];
}

function assumed(entries, talk) {
  const seen = new Set();
  return entries.map(({ text, pointer }) => ({ words: sentence(talk.plain(text)), field: talk.field(pointer) })).filter(({ words }) => !seen.has(words) && seen.add(words));
}

function taken(ofLoad, ofFixing, talk) {
  const unsaid = ofFixing.filter(({ code }) => NOBODY_SAID.test(code));
  const done = ofFixing.filter(({ code }) => !NOBODY_SAID.test(code));
  const lines = assumed([...ofLoad, ...unsaid], talk).map(({ words, field }) => {
    if (!field) return words;
    const link = make("a", { href: "#" }, "Answer it");
    link.addEventListener("click", (event) => {
      event.preventDefault();
      field.go();
    });
    return make("span", {}, `${words} `, link);
  });
  return [
    ...folded(`${lines.length} ${lines.length === 1 ? "thing was" : "things were"} taken because nobody said: check on site`, lines),
    ...folded("How it was reckoned, and what has to be shown", texts(done, talk)),
  ];
}

export function sizing(answer, loadsAnswer, talk, unknown, open) {
  const found = answer.choices.length;
  const shared = withoutCodes(answer.assumptions, NOT_OF_ALL);
  const entries = [...(loadsAnswer.assumptions ?? []), ...answer.assumptions];
  const ofChoices = new Set(answer.choices.flatMap(({ cautions }) => cautions.map(({ code }) => code)));
  const general = answer.cautions.filter(({ code }) => !ofChoices.has(code));
  return [
    make("p", { id: "outcome" }, found ? found === 1 ? "One fixing passes the checks that were made." : `These ${found} fixings pass the checks that were made. They stand in the order that the rulebook prefers.` : "Nothing passes."),
    ...suspended(answer, talk),
    ...(found ? [] : nothing(answer, talk, unknown, entries)),
    loadWords(loadsAnswer, talk.unit),
    ...(found ? answer.choices.map((one) => choice(one, answer.cautions, talk, open)) : []),
    ...part("Cautions that go with all of this", texts(general, talk)),
    ...folded("Cautions that go with the loads", ofLoads(loadsAnswer, talk)),
    ...(found ? notKnown(unknown, entries, talk, "this was taken. Where the site is worse, these fixings don’t hold there; tell what you can, and there may be more to choose from.") : []),
    ...taken(loadsAnswer.assumptions ?? [], shared, talk),
    ...folded("Fixings that pass and rank below these", answer.passed_over.map((one) => `${one.fastener_count} × ${one.title} ${one.size}: ${talk.plain(one.reason)}`)),
    ...(found ? folded("What does not pass, and why", answer.rejected.map(({ title, cause }) => `${title}: ${talk.plain(cause.detail)}`)) : []),
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

// The answer gives resistances without what the site costs, and how much of them is used with it.
function against(resistance, site) {
  const whole = force(resistance, "kN");
  return site < 1 ? `${whole} × ${show(site, 3)} (site) = ${force(resistance * site, "kN")}` : `a design resistance of ${whole}`;
}

function checkWords(check, site, talk) {
  const figures = check.design_resistance_kn === null ? "" : `: ${force(check.design_action_kn, talk.unit)} against ${against(check.design_resistance_kn, site)}`;
  const used = check.utilisation === null ? "" : `, ${percent(check.utilisation)}`;
  return `${upper(modeWords(check.mode))} (EN 1992-4, ${check.clause})${check.edge ? `, edge ${talk.edge(check.edge)}` : ""}${figures}${used}`;
}

function siteCosts({ factor, floor_applied: floored, parts }, talk) {
  const lowered = parts.filter((one) => one.factor < 1);
  const product = parts.reduce((so, one) => so * one.factor, 1);
  const lines = lowered.map((one) => `${talk.site(one)}: resistance × ${show(one.factor, 3)}. ${talk.plain(one.reason)}`);
  const together = floored ? `Together × ${show(product, 3)}; the rulebook takes no less than ${show(factor, 3)}, which is more than they give` : `Together: every resistance × ${show(factor, 3)}`;
  return lines.length ? folded(`What the site costs: every resistance × ${show(factor, 3)}`, [...lines, together]) : [];
}

// What is here; each figure with its unit where another one beside it is out of reach.
function withUnit(words, unit) {
  if (!unit || unit === "1") return words;
  if (!/out of reach/.test(words)) return `${words} ${unit}`;
  return words.replace(/\d+(?:[.,]\d+)?/g, `$& ${unit}`).replaceAll("out of reach", "none within reach");
}

function requirement(one, talk) {
  const given = typeof one.given === "number" ? show(one.given) : typeof one.given === "string" ? talk.value(talk.plain(one.given)) : one.given;
  const here = given === null || /not known, so taken/.test(one.detail) ? "" : ` (here: ${withUnit(String(given), one.unit)})`;
  return `${one.code.replaceAll("_", " ")}: ${talk.plain(one.detail)}${here}`;
}

function verdict(answer, talk) {
  if (answer.verdict !== "verified") return [paragraph("It does not pass; there is no sheet for it.")];
  const open = texts(withCodes(answer.cautions, NOT_CHECKED), talk);
  return [
    paragraph(`It passes the ${new Set(answer.checks.map(({ mode }) => mode)).size} kinds of check and the ${answer.requirements.length} requirements listed below, as far as the answers given hold on site.`),
    ...(open.length ? [make("p", {}, make("strong", {}, "Not checked:")), items(open)] : []),
  ];
}

export function verification(answer, loadsAnswer, talk) {
  const { governing, requirements, site_reduction: site } = answer;
  const unmet = requirements.filter(({ met }) => !met);
  const held = requirements.filter(({ met }) => met);
  const passed = answer.verdict === "verified";
  return [
    ...beware([...withoutCodes(answer.cautions, GENERAL), ...withCodes(answer.cautions, ["demonstration_data", "assessment_governs"])].filter(({ code }) => !passed || !NOT_CHECKED.includes(code)), talk),
    ...verdict(answer, talk),
    ...suspended(answer, talk),
    ...(governing ? [paragraph(`Of the fastener’s own checks, ${modeWords(governing.mode)} comes nearest to its limit, in load case “${talk.plain(governing.load_case)}”: ${takes(governing.utilisation)}.`)] : []),
    ...edgesOf(talk, talk.request, talk.positions),
    ...texts(withCodes(answer.assumptions, FARTHER), talk).map((words) => paragraph(sentence(words))),
    ...part("Not covered", answer.scope_limits.map((one) => talk.plain(one.detail ?? one.text))),
    ...part("Requirements that are not met", unmet.map((one) => requirement(one, talk))),
    ...(passed ? [] : part("Cautions", texts(withCodes(answer.cautions, NOT_CHECKED), talk))),
    ...part("How far the load may grow", permissible(answer, talk)),
    ...folded("The checks, the worst load case of each", worstOfEach(answer.checks).map((one) => checkWords(one, site.factor, talk))),
    ...siteCosts(site, talk),
    ...folded(`${held.length} requirements that are met`, held.map((one) => requirement(one, talk))),
    ...taken(loadsAnswer.assumptions ?? [], withoutCodes(answer.assumptions, FARTHER), talk),
    ...folded("Cautions that go with the loads", ofLoads(loadsAnswer, talk)),
    paragraph(`Rulebook ${answer.rulebook.version} (${answer.rulebook.status}), for ${answer.assessed_on}. ${answer.basis.note}`),
    make("p", {}, "Record: ", make("span", { class: "code", id: "record-id" }, answer.record.id)),
  ];
}

function permissible(answer, talk) {
  const growing = (answer.permissible ?? []).filter(({ growth }) => growth !== null);
  return growing.sort((a, b) => a.growth - b.growth).slice(0, 1).map((one) => {
    const service = one.service_kn === null ? "" : ` Before partial factors its force is then ${force(one.service_kn, talk.unit)}.`;
    return `The load case with the least to spare is “${talk.plain(one.load_case)}”. Its forces and its bending may grow together to ${show(one.growth, 3)} times what they are before a check fails.${service}`;
  });
}
