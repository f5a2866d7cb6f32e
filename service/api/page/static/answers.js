// Answers of the API in sentences with their figures. `talk` knows the questions, and where one stands.

import { nearestFasteners } from "./edges.js";
import { make } from "./fields.js";
import { force, percent, show, takes } from "./numbers.js";
import { sideOf } from "./sides.js";
import { count, named, say, sentence, short, told, upper } from "./words.js";

// What holds for every answer of a rulebook; all other cautions belong to the fixing itself.
const GENERAL = ["demonstration_data", "assessment_governs", "member_not_checked", "static_actions_only"];
const NOT_CHECKED = ["member_not_checked", "static_actions_only", "plate_not_checked"];
// These differ from one choice to the next: beside a choice they are true, over all choices they contradict one another.
// The day stands below each answer.
const NOT_OF_ALL = ["assessed_on_today", "splitting_not_needed", "length_chosen", "length_not_chosen"];

const GOVERNS = ["passes", "passes_unloaded"];

// How far away edges, other anchors and old holes have to be that were answered with “No”: it may be farther than the page asked about.
const FARTHER = ["edges_out_of_reach", "edges_count_anywhere", "neighbours_not_given", "no_other_neighbours", "no_old_holes"];

// What was done, and what was stated and has to be shown; all else was taken because nobody said.
const DONE = ["assessed_on_today", "length_chosen", "length_not_chosen", "splitting_not_needed", "uncracked_to_be_shown", "edge_reinforcement_to_be_shown", "redundant_to_be_shown", "nobody_hurt_to_be_shown", "holes_filled_to_be_shown", "rotation_held_to_be_shown"];

const mm = (value) => `${show(value)} mm`;
const paragraph = (words) => make("p", {}, words);
const items = (lines) => make("ul", {}, ...lines.map((line) => make("li", {}, line)));
const ended = (words) => (".!?".includes(words.at(-1)) ? upper(words) : `${upper(words)}.`);

export function part(title, lines) {
  return lines.length ? [make("h3", {}, title), items(lines.map(ended))] : [];
}

export function folded(title, lines) {
  return lines.length ? [make("details", {}, make("summary", {}, title), items(lines.map((line) => (typeof line === "string" ? ended(line) : line))))] : [];
}

// A word that goes with a code, as this page says it: a side as one sees it, a title for a name that only programs use.
function word(talk, value, list) {
  if (list === "Edge") return sideOf(talk.view, value);
  return !list && talk.titles[value] ? `“${talk.titles[value]}”` : undefined;
}

// A code of the API with its figures, in the words of the page.
const said = (part, entry, talk) => sentence(part, entry, (value, list) => word(talk, value, list));

// The same where a word may stand for an answer of “Not known”.
const asTaken = (part, entry, talk) => sentence(part, entry, (value, list, several) => {
  const own = word(talk, value, list) ?? named(list, value);
  return !several && talk.takenFor(value) ? say("{word} (not known, so taken)", { word: own }) : own;
});

// What was taken: of a thing to be fixed the question says it, of all else the code, with the fasteners that it is for.
function assumption(entry, talk) {
  const asked = talk.inputs.find(({ name }) => entry.pointer === `#/${name}`);
  if (asked) return say("“{question}” left open: {taken}", { question: told(asked.crew.label), taken: told(asked.crew.left_empty) });
  return withFasteners(said("assumptions", entry, talk), entry, talk);
}

function withFasteners(taken, { fasteners }, talk) {
  if (!fasteners) return taken;
  return say("{taken} (for {fasteners})", { taken, fasteners: fasteners.map(({ family, size }) => `${talk.titles[family] ?? family} ${size}`) });
}

const unique = (lines) => [...new Set(lines)];
const texts = (entries, talk) => unique(entries.map((one) => said("cautions", one, talk)));
const assumptions = (entries, talk) => unique(entries.map((one) => assumption(one, talk)));
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
  if (pull > 0) parts.push(say("a pull of up to {force}", { force: force(pull, unit) }));
  if (press > 0) parts.push(say("a push towards the concrete of up to {force}", { force: force(press, unit) }));
  if (shear > 0) parts.push(say("a shear force of up to {force}", { force: force(shear, unit) }));
  if (bending > 0) parts.push(say("bending of up to {moment:.3g} kNm", { moment: bending }));
  if (twisting > 0) parts.push(say("twisting of up to {moment:.3g} kNm", { moment: twisting }));
  return parts.join(", ");
}

// The service leaves out what only presses, as no fastener feels it; the push that is named is then not the largest.
function leftOut({ situations = [], load_cases: cases }) {
  const without = situations.filter(({ situation }) => !cases.some(({ name }) => name.startsWith(situation)));
  const presses = ({ permanent, variable }) => Object.keys(permanent).every((name) => (name === "normal_kn" ? permanent[name] + variable[name] < 0 : permanent[name] + variable[name] === 0));
  return without.some(presses) ? say("What only presses, without pushing aside, bending or twisting, is left out of these figures.") : "";
}

function loadWords(answer, unit) {
  if (!answer.load_cases) return paragraph(say("The fixing has to hold {loads} (partial factors come on top of these figures).", { loads: largest(answer.actions, unit) }));
  const figures = { loads: largest(answer.load_cases, unit) };
  const number = answer.load_cases.length;
  const words = count("The fixing has to hold {loads} (partial factors are in these figures; one load case).", "The fixing has to hold {loads} (partial factors are in these figures; the largest of {number} load cases).", number, figures);
  return paragraph(`${words} ${leftOut(answer)}`.trim());
}

const figured = (step, talk) => say("{what}: {figure}", { what: said("load_model_steps", step, talk), figure: `${show(step.value)}${step.unit === "1" ? "" : ` ${step.unit}`}` });

// The weight as it was taken, so that a mass of one metre is not taken for that of all.
const weighed = (answer, talk) => (answer.working ?? []).filter(({ weighs, value }) => weighs && value > 0).map((step) => ended(upper(say("{what}: {figure}", { what: said("load_model_steps", step, talk), figure: force(step.value, "kg") }))));

export function loads(answer, talk) {
  const more = [
    ...part(say("What was taken"), assumptions(answer.assumptions ?? [], talk)),
    ...part(say("The figures"), (answer.working ?? []).filter(({ value }) => value !== null).map((one) => figured(one, talk))),
    ...part(say("What to beware of"), ofLoads(answer, talk)),
  ];
  const fold = more.length ? [make("details", {}, make("summary", {}, say("How these loads were found, and what to beware of")), ...more)] : [];
  const one = talk.shared ? [make("p", {}, make("strong", {}, say("These loads are those of one {one}, which is one plate with all its bolts or rods:", { one: talk.shared })))] : [];
  return [...one, loadWords(answer, talk.unit), ...weighed(answer, talk).map(paragraph), ...fold];
}

// Without the cautions that go with everything, which stand at the top of the page and beside the figures.
const besideLoads = (cautions, loadsAnswer) => withoutCodes(cautions, loadsAnswer.loads_from?.cautions ?? []);
const ofLoads = (answer, talk) => texts(withoutCodes(answer.cautions ?? [], GENERAL), talk);

function suspended(answer, talk) {
  return part(say("Suspended for new work"), (answer.suspensions ?? []).map((one) => {
    const what = one.family ? `${talk.titles[one.family] ?? one.family} ${one.size ?? ""}`.trim() : say("Rulebook {version}", { version: one.version });
    return say("{what} is suspended since {since}: {reason}", { what, since: one.since, reason: one.reason });
  }));
}

// What was taken in place of an answer, without the words that its question has already.
function inPlaceOf(pointer, entries, talk) {
  const asked = talk.inputs.find(({ name }) => pointer === `#/${name}`);
  if (asked) return say("{taken} was taken", { taken: told(asked.crew.left_empty) });
  const taken = entries.filter((one) => one.pointer === pointer).map((one) => withFasteners(short("assumptions", one, (value, list) => word(talk, value, list)), one, talk));
  return taken.length ? taken.join("; ") : talk.takenWhereItMatters(pointer);
}

// Answers of "Not known", each a way back to its question, and what was taken in its place.
function notKnown(unknown, entries, talk, opening) {
  if (!unknown.length) return [];
  const lines = unknown.map(({ label, pointer, go }) => {
    const link = make("a", { href: "#" }, label);
    link.addEventListener("click", (event) => {
      event.preventDefault();
      go();
    });
    const taken = inPlaceOf(pointer, entries, talk);
    return make("span", {}, link, taken && `: ${taken}`);
  });
  return [make("div", { class: "unknown" }, make("p", {}, make("strong", {}, count("One answer was “Not known”: {opening}", "{number} answers were “Not known”: {opening}", unknown.length, { opening }))), items(lines))];
}

function holes({ hole, positions }) {
  if (!hole || hole.diameter_mm === null) return count("One is needed; nothing is drilled.", "{number} are needed; nothing is drilled.", positions.length);
  return count("Drill one hole, Ø{diameter} mm, in the concrete; the sheet says how deep for this plate.", "Drill {number} holes, Ø{diameter} mm, in the concrete; the sheet says how deep for this plate.", hole.count, { diameter: hole.diameter_mm });
}

const WHEN = {
  through_fixture: () => say("The holes in the concrete are drilled through the plate in its place."),
  before_fixture: () => say("The holes in the concrete are drilled before the plate is there."),
};

// What the plate has to be like for it, from the rulebook's own entry for the fastener.
function plateWords({ hole, fastener }, talk) {
  if (!hole || hole.diameter_mm === null) return [];
  const { setting, sizes } = talk.family(fastener.family);
  const widest = sizes[fastener.size].geometry.clearance_hole_mm;
  const holes = widest === null ? [] : [say("Holes in the plate at most Ø{widest} mm.", { widest })];
  return [paragraph([...holes, WHEN[setting]()].join(" "))];
}

// The tool that was answered, and no other: the fixing was verified with it alone, as on the sheet.
function tightening({ request, torque_nm: torque, impact_driver_torque_max_nm: driver }) {
  const tool = request.site?.torque_control;
  if (tool === "calibrated_wrench" && torque !== null) return say("Tighten with a torque wrench, {torque} Nm, as the sheet says.", { torque });
  if (tool === "impact_driver_set" && driver !== null) return say("Tighten with the impact wrench, set to {torque} Nm at most, as the sheet says.", { torque: driver });
  return say("Tighten as the sheet says.");
}

function about(choice, talk) {
  const { fastener, comparison, reasons } = choice;
  const rows = Object.values(talk.family(fastener.family).sizes[fastener.size].embedments);
  const { depth } = rows.find((row) => row.depth.effective_mm === fastener.embedment_mm);
  const lines = [say("Each fastener is {length} mm long; set depth {depth} mm; article {code}.", { length: fastener.length_mm, depth: depth.nominal_mm, code: fastener.article_code })];
  if (comparison.holes) lines.push(tightening(choice));
  lines.push(comparison.removable ? say("It can be taken out again.") : say("It can’t be taken out again."));
  if (comparison.edge_left_over_mm !== null) lines.push(say("The nearest edge is {distance} mm farther away than it has to be.", { distance: comparison.edge_left_over_mm }));
  return [...lines, ...ranks(reasons, talk)];
}

// What governs stands above them already.
export const ranks = (reasons, talk) => reasons.filter(({ code }) => !GOVERNS.includes(code)).map((one) => reason(one, talk));

function reason(one, talk) {
  const why = said("reasons", one, talk);
  return one.cause ? say("{reason}: {cause}", { reason: why, cause: stopped(one.cause, talk) }) : why;
}

const leftOpen = (cause) => say("{cause}; not known, so the less favourable was taken", { cause });

// What stops a fastener: a check that is over, or a requirement that is not met, and what else.
function stopped(cause, talk) {
  const why = cause.kind === "mode" ? over(cause, talk) : said("causes", cause, talk);
  const open = cause.left_open ? leftOpen(why) : why;
  const others = (cause.also ?? []).map((one) => (one.kind === "mode" ? say("{mode} at {share}", { mode: named("Mode", one.code), share: percent(one.figures.utilisation) }) : short("causes", one)));
  return others.length ? say("{cause} (also: {others})", { cause: open, others }) : open;
}

function over({ figures: { mode, edge, utilisation } }, talk) {
  const known = { mode: named("Mode", mode), side: edge && sideOf(talk.view, edge), takes: takes(utilisation) };
  return edge ? say("{mode}, edge {side}: {takes}", known) : say("{mode}: {takes}", known);
}

// What several families have in common; of one alone, all that is known.
function shared(group, rejected, talk) {
  const [one, ...others] = rejected.filter(({ family }) => group.families.includes(family)).map(({ cause }) => cause);
  if (!others.length) return stopped(one, talk);
  if (group.kind === "mode") return say("{mode}: the load takes {least} to {most} of what is allowed", { mode: named("Mode", group.code), least: percent(group.least), most: percent(group.most) });
  const open = [one, ...others].every(({ left_open: at }) => at && at === one.left_open);
  const why = inCommon(group, talk);
  return open ? leftOpen(why) : why;
}

function inCommon(group, talk) {
  const { figures, figure, least, most, unit } = group;
  if (Object.values(figures).every((value) => value !== null)) return said("causes", group, talk);
  const cause = short("causes", group);
  if (typeof figure === "string") return say("{cause}: {figure}", { cause, figure: word(talk, figure) ?? figure });
  return least === null ? cause : say("{cause}: {least} to {most} {unit}", { cause, least, most, unit: unit === "1" ? "" : unit }).trim();
}

// Which load case, where there are several.
const caseOf = (name, cases) => ({ number: cases.findIndex((one) => one.name === name) + 1, all: cases.length });

function howItStands({ governing, request }) {
  if (!governing) return [];
  const told = { mode: named("Mode", governing.mode), takes: takes(governing.utilisation) };
  if (request.actions) return [paragraph(say("Of the fastener’s own checks nearest to its limit: {mode}, under the worst of the loads together; {takes}.", told))];
  const known = { ...told, ...caseOf(governing.load_case, request.load_cases) };
  if (known.all === 1) return [paragraph(say("Of the fastener’s own checks nearest to its limit: {mode}; {takes}.", known))];
  return [paragraph(say("Of the fastener’s own checks nearest to its limit: {mode}, in load case {number} of {all}; {takes}.", known))];
}

function beware(cautions, talk) {
  const lines = texts(cautions, talk);
  return lines.length ? [make("div", { class: "beware" }, make("p", {}, make("strong", {}, say("Beware, before these figures:"))), items(lines))] : [];
}

export function edgesOf(talk, request, positions) {
  const distances = nearestFasteners(talk.view, request.member.edges, positions);
  return distances.length ? [paragraph(say("From the nearest fastener: {distances}.", { distances: distances.join(", ") }))] : [];
}

function choice(one, general, talk, open) {
  const { fastener, positions } = one;
  const name = say("{number} × {title}, size {size}", { number: positions.length, title: fastener.title, size: fastener.size });
  const button = make("button", { type: "button", "aria-label": say("See why number {rank}, {name}", { rank: one.rank, name }) }, say("See why"));
  button.addEventListener("click", () => open(one.rank, name));
  const own = withoutCodes(one.cautions, GENERAL);
  return make("article", {}, make("h3", {}, say("{rank}. {name}", { rank: one.rank, name })), ...beware([...own, ...withCodes(general, ["demonstration_data"])], talk),
    paragraph(holes(one)), ...plateWords(one, talk), ...edgesOf(talk, one.request, positions), ...howItStands(one, talk),
    ...folded(say("More about it, and why it ranks here"), about(one, talk)), make("div", { class: "buttons" }, button));
}

// The nearest of a family, and what would let it pass.
const nearestOf = ({ title, nearest, cause }, talk) => count("{title}: nearest was one of size {size}, where {takes}. {cause}", "{title}: nearest were {number} of size {size}, where {takes}. {cause}", nearest.positions_count, { title, size: nearest.size, takes: takes(nearest.utilisation), cause: ended(stopped(cause, talk)) });
const admitted = ({ title, size, fastener_count: number }) => say("{number} × {title} {size}", { number, title, size });

function nothing(answer, talk, unknown, entries) {
  const titles = Object.fromEntries(answer.rejected.map(({ family, title }) => [family, title]));
  const groups = answer.rejected_groups.map((group) => say("{cause} This stops: {families}.", { cause: ended(shared(group, answer.rejected, talk)), families: group.families.map((one) => titles[one]).join("; ") }));
  const near = answer.rejected.filter(({ nearest }) => nearest?.utilisation).map((one) => nearestOf(one, talk));
  const helps = answer.relaxations.map((one) => say("{change}: then {fixings} would pass", { change: said("relaxations", one, talk), fixings: one.admits.map(admitted).join("; ") }));
  const other = say("A thicker or larger plate, more holes farther apart, holes farther from the edge, more fixings that share the load, or a smaller load may help.");
  return [
    ...notKnown(unknown, entries, talk, say("this was taken. Tell what you can and try again: that may be all it takes.")),
    ...(belowFloor(answer) ? [] : [paragraph(say("Nothing in the rulebook passes for what you have told. Don’t build with the nearest thing: change what can be changed, or ask a structural engineer."))]),
    ...part(say("What would help, changed by itself"), helps),
    ...(helps.length ? [] : [paragraph([...(unknown.length ? [] : [say("The service tried single changes of an answer and found none that helps.")]), other].join(" "))]),
    ...part(say("Why nothing passes"), groups),
    ...folded(say("How near each came"), near),
  ];
}

function assumed(entries, talk) {
  const seen = new Set();
  return entries.map((entry) => ({ words: ended(assumption(entry, talk)), field: talk.field(entry.pointer) })).filter(({ words }) => !seen.has(words) && seen.add(words));
}

function taken(ofLoad, ofFixing, talk) {
  const lines = assumed([...ofLoad, ...withoutCodes(ofFixing, DONE)], talk).map(({ words, field }) => {
    if (!field) return words;
    const link = make("a", { href: "#" }, say("Answer it"));
    link.addEventListener("click", (event) => {
      event.preventDefault();
      field.go();
    });
    return make("span", {}, `${words} `, link);
  });
  return [
    ...folded(count("One assumption: check on site", "{number} assumptions: check on site", lines.length), lines),
    ...folded(say("How it was calculated, and what has to be shown"), assumptions(withCodes(ofFixing, DONE), talk)),
  ];
}

// Below the floor of the site factors nothing is fixed, whatever the fastener: that is said before all else.
const BELOW_FLOOR = "site_above_floor";
const siteFirst = () => say("No answer yet: improve the site first.");
const belowFloor = ({ choices, rejected }) => !choices.length && rejected.some(({ cause }) => cause.code === BELOW_FLOOR);

function outcome(answer) {
  const { choices } = answer;
  if (belowFloor(answer)) return siteFirst();
  if (!choices.length) return say("Nothing passes.");
  return count("One fixing passes the checks that were made.", "These {number} fixings pass the checks that were made. They stand in the order that the rulebook prefers.", choices.length);
}

export function sizing(answer, loadsAnswer, talk, unknown, open) {
  const found = answer.choices.length;
  const shared = withoutCodes(answer.assumptions, NOT_OF_ALL);
  const entries = [...(loadsAnswer.assumptions ?? []), ...answer.assumptions];
  const ofChoices = new Set(answer.choices.flatMap(({ cautions }) => cautions.map(({ code }) => code)));
  const general = besideLoads(answer.cautions, loadsAnswer).filter(({ code }) => !ofChoices.has(code));
  return [
    make("p", { id: "outcome" }, outcome(answer)),
    ...suspended(answer, talk),
    ...(found ? [] : nothing(answer, talk, unknown, entries)),
    loadWords(loadsAnswer, talk.unit),
    ...(found ? answer.choices.map((one) => choice(one, answer.cautions, talk, open)) : []),
    ...part(say("Cautions that go with all of this"), texts(general, talk)),
    ...folded(say("Cautions that go with the loads"), ofLoads(loadsAnswer, talk)),
    ...(found ? notKnown(unknown, entries, talk, say("this was taken. Where the site is worse, these fixings don’t hold there; tell what you can, and there may be more to choose from.")) : []),
    ...taken(loadsAnswer.assumptions ?? [], shared, talk),
    ...folded(say("Fixings that pass and rank below these"), answer.passed_over.map((one) => say("{fixing}: {reason}", { fixing: admitted(one), reason: reason(one.reason, talk) }))),
    ...(found ? folded(say("What does not pass, and why"), answer.rejected.map(({ title, cause }) => say("{title}: {cause}", { title, cause: stopped(cause, talk) }))) : []),
    paragraph(rulebookWords(answer)),
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

const rulebookWords = ({ rulebook, assessed_on: day }) => say("Rulebook {version} ({status}), for {day}.", { version: rulebook.version, status: rulebook.status, day });

// The answer gives resistances without what the site costs, and how much of them is used with it.
function against(resistance, site) {
  const whole = force(resistance, "kN");
  return site < 1 ? say("{whole} × {factor:.3g} (site) = {left}", { whole, factor: site, left: force(resistance * site, "kN") }) : say("a design resistance of {whole}", { whole });
}

function checkWords(check, site, talk) {
  const known = { mode: upper(named("Mode", check.mode)), clause: check.clause, side: check.edge && sideOf(talk.view, check.edge) };
  const what = check.edge ? say("{mode} (EN 1992-4, {clause}), edge {side}", known) : say("{mode} (EN 1992-4, {clause})", known);
  if (check.utilisation === null) return what;
  const used = percent(check.utilisation);
  if (check.design_resistance_kn === null) return say("{what}, {used}", { what, used });
  const action = force(check.design_action_kn, talk.unit);
  return say("{what}: {action} against {resistance}, {used}", { what, action, resistance: against(check.design_resistance_kn, site), used });
}

function siteCosts({ factor, floor, below_floor: below, parts }, talk) {
  const lowered = parts.filter((one) => one.factor < 1);
  const lines = lowered.map(talk.site);
  const together = below ? say("Together × {factor:.3g}, below the {floor:.3g} that the rulebook asks of a site", { factor, floor }) : say("Together: every resistance × {factor:.3g}", { factor });
  return lines.length ? folded(say("What the site costs: every resistance × {factor:.3g}", { factor }), [...lines, together]) : [];
}

function verdict(answer, talk) {
  if (answer.requirements.some(({ code, met }) => code === BELOW_FLOOR && !met)) return [make("p", {}, make("strong", {}, siteFirst()))];
  if (answer.verdict !== "verified") return [paragraph(say("It does not pass; there is no sheet for it."))];
  const open = texts(withCodes(answer.cautions, NOT_CHECKED), talk);
  const modes = new Set(answer.checks.map(({ mode }) => mode)).size;
  return [
    paragraph(say("It passes the {modes} kinds of check and the {number} requirements listed below, as far as the answers given hold on site.", { modes, number: answer.requirements.length })),
    ...(open.length ? [make("p", {}, make("strong", {}, say("Not checked:"))), items(open)] : []),
  ];
}

export function verification(answer, loadsAnswer, talk) {
  const { governing, requirements, site_reduction: site } = answer;
  const unmet = requirements.filter(({ met }) => !met);
  const held = requirements.filter(({ met }) => met);
  const passed = answer.verdict === "verified";
  return [
    ...beware([...besideLoads(withoutCodes(answer.cautions, GENERAL), loadsAnswer), ...withCodes(answer.cautions, ["demonstration_data", "assessment_governs"])].filter(({ code }) => !passed || !NOT_CHECKED.includes(code)), talk),
    ...verdict(answer, talk),
    ...suspended(answer, talk),
    ...howItStands({ governing, request: talk.request }),
    ...edgesOf(talk, talk.request, talk.positions),
    ...assumptions(withCodes(answer.assumptions, FARTHER), talk).map((words) => paragraph(ended(words))),
    ...part(say("Not covered"), answer.scope_limits.map((one) => said("scope_limits", one, talk))),
    ...part(say("Requirements that are not met"), unmet.map((one) => asTaken("requirements", one, talk))),
    ...(passed ? [] : part(say("Cautions"), texts(withCodes(answer.cautions, NOT_CHECKED), talk))),
    ...part(say("How far the load may grow"), permissible(answer, talk)),
    ...folded(say("The checks, the worst load case of each"), worstOfEach(answer.checks).map((one) => checkWords(one, site.factor, talk))),
    ...siteCosts(site, talk),
    ...folded(count("One requirement that is met", "{number} requirements that are met", held.length), held.map((one) => asTaken("requirements", one, talk))),
    ...taken(loadsAnswer.assumptions ?? [], withoutCodes(answer.assumptions, FARTHER), talk),
    ...folded(say("Cautions that go with the loads"), ofLoads(loadsAnswer, talk)),
    paragraph([rulebookWords(answer), named("Basis", "formulas")].join(" ")),
    make("p", {}, say("Record:"), " ", make("span", { class: "code", id: "record-id" }, answer.record.id)),
  ];
}

function permissible(answer, talk) {
  const growing = (answer.permissible ?? []).filter(({ growth }) => growth !== null);
  return growing.sort((a, b) => a.growth - b.growth).slice(0, 1).map((one) => {
    // A combination of actions has no number, and its name is not in the reader's words.
    const worst = answer.combinations ? {} : caseOf(one.load_case, talk.request.load_cases);
    const known = { ...worst, growth: one.growth, force: one.service_kn === null ? "" : force(one.service_kn, talk.unit) };
    const grows = answer.combinations ? say("The worst of the loads together may grow, forces and bending alike, to {growth:.3g} times what they are before a check fails.", known)
      : known.all === 1 ? say("Its forces and its bending may grow together to {growth:.3g} times what they are before a check fails.", known)
      : say("Least to spare has load case {number} of {all}: its forces and its bending may grow together to {growth:.3g} times what they are before a check fails.", known);
    return one.service_kn === null ? grows : [grows, say("Before partial factors its force is then {force}.", known)].join(" ");
  });
}
