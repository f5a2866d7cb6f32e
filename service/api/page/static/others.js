// Other anchors and old holes near the plate: asked one by one, and put into the axes of a request.

import { byId, make, picked } from "./fields.js";
import { say } from "./words.js";

// How many of them are asked for; see the template.
const MOST = 4;
const WAYS = { along: ["far", "near"], across: ["left", "right"] };
const NUMBERS = Array.from({ length: MOST }, (_, at) => at + 1);
const AGAIN = "another";

const isHole = (number) => byId(`other-${number}-state`).value.endsWith("_hole");

// Those that are asked for: the first, and each for which another was told of.
const asked = () => {
  if (picked("others") !== "yes") return [];
  const last = NUMBERS.find((number) => number === MOST || picked(`other-${number}-${AGAIN}`) !== "yes");
  return NUMBERS.slice(0, last);
};

// Words for the two ways that each may lie from the middle of the plate.
export function tellWays(view) {
  for (const number of NUMBERS) {
    for (const [name, sides] of Object.entries(WAYS)) {
      const [one, other] = sides.map((side) => view.words[side]);
      document.querySelector(`label[for="other-${number}-${name}"]`).firstChild.textContent = `${say("How far {one} or {other}, from the middle of the plate?", { one, other })} `;
      byId(`other-${number}-${name}-way`).replaceChildren(...sides.map((side) => make("option", { value: side }, view.words[side])));
    }
  }
}

// The families that are listed, for those who know what it is.
export function fillFamilies(titles) {
  for (const number of NUMBERS) {
    const known = Object.entries(titles).map(([value, title]) => make("option", { value }, title));
    byId(`other-${number}-family`).replaceChildren(make("option", { value: "" }, say("Not known, or none of these")), ...known);
  }
}

export function showOthers() {
  const wanted = asked();
  byId("others").hidden = picked("others") !== "yes";
  for (const number of NUMBERS) {
    byId(`other-${number}`).hidden = !wanted.includes(number);
    byId(`other-${number}-hole`).hidden = !isHole(number);
    byId(`other-${number}-anchor`).hidden = isHole(number);
    byId(`other-${number}-size`).closest(".field").hidden = !byId(`other-${number}-family`).value;
  }
}

export function clearOthers() {
  for (const number of NUMBERS) {
    const block = byId(`other-${number}`);
    for (const input of block.querySelectorAll("input")) {
      if (input.type === "radio") input.checked = false;
      else input.value = "";
    }
    for (const select of block.querySelectorAll("select")) select.selectedIndex = 0;
  }
}

export function wrongOthers() {
  if (!picked("others")) return [{ field: byId("others-asked"), detail: say("answer yes or no; if you don’t know, find out before you go on") }];
  const open = asked().filter((number) => !picked(`other-${number}-${AGAIN}`));
  const more = picked(`other-${MOST}-${AGAIN}`) === "yes" && asked().length === MOST;
  return [
    ...open.map((number) => ({ field: byId(`other-${number}-${AGAIN}-asked`), detail: say("answer yes or no") })),
    ...(more ? [{ field: byId(`other-${MOST}-${AGAIN}-asked`), detail: say("this page takes no more than {number}: write down where each of them is and ask the engineer", { number: MOST }) }] : []),
  ];
}

// What the request says of them, null where nobody told of any; what is not known is left out, which counts as the worst.
export function neighbours(view, values) {
  const found = asked().map((number) => {
    const of = (name) => values[`other-${number}-${name}`] ?? null;
    const places = Object.keys(WAYS).map((name) => {
      const [axis, way] = view.edges[byId(`other-${number}-${name}-way`).value].split("_");
      return [`${axis}_mm`, (way === "plus" ? 1 : -1) * of(name) || 0];
    });
    const hole = { hole_diameter_mm: of("hole-diameter"), hole_depth_mm: of("hole-depth") };
    const family = byId(`other-${number}-family`).value;
    const anchor = { embedment_mm: of("depth"), family, size: family && byId(`other-${number}-size`).value.trim() };
    const told = Object.entries(isHole(number) ? hole : anchor).filter(([, value]) => value !== null && value !== "");
    return { ...Object.fromEntries(places), state: byId(`other-${number}-state`).value, ...Object.fromEntries(told) };
  });
  return found.length ? found : null;
}
