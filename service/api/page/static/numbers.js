// Figures as the reader writes and reads them.

import { say } from "./words.js";

export const KN_PER_KG = 0.00980665; // standard acceleration of free fall, 9.80665 m/s²

const READER = navigator.languages?.[0] ?? navigator.language;
const NARROW_SPACE = "\u202f";
const COULD_BE_THOUSANDS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;
const FIGURE = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/;
// 1.234.567, or 1.234,5 and 1,234.5: two marks can be read in one way only.
const THOUSANDS = /^[+-]?[1-9]\d{0,2}(?:(?:\.\d{3}){2,}|(?:,\d{3}){2,}|(?:\.\d{3})+,\d+|(?:,\d{3})+\.\d+)$/;

function withoutThousands(bare) {
  if (!THOUSANDS.test(bare)) return bare;
  const mark = bare.match(/[.,]/)[0];
  return bare.replaceAll(mark, "");
}

// Returns a number, null for nothing, or throws words for the reader. The unit of the question may stand behind it.
export function read(text, unit = "") {
  const bare = withoutUnit(text.replace(/[\s\u00a0\u202f'’]/g, "").replace("−", "-"), unit);
  if (bare === "") return null;
  if (COULD_BE_THOUSANDS.test(bare)) {
    const [whole, rest] = bare.split(/[.,]/);
    throw new Error(say("“{text}” can be read in two ways: write {whole} if that is meant, or leave away or add a digit after the comma.", { text, whole: `${whole}${rest}` }));
  }
  const plain = withoutThousands(bare);
  const other = bare.match(/^[+-]?[\d.,]+([a-zµ²³/°]+)$/i)?.[1];
  if (other && unit) throw new Error(say("“{text}” was given; the figure is asked in {unit}: give it in {unit}", { text, unit }));
  if (!FIGURE.test(plain)) throw new Error(say("“{text}” is not a number. Write it in digits, for example 150 or {example}.", { text, example: 1.5 }));
  return Number(plain.replace(",", "."));
}

const ALIKE = { MPa: ["n/mm²", "n/mm2"], degrees: ["°"], "°C": ["c", "°"] };

function withoutUnit(bare, unit) {
  const told = [unit.toLowerCase(), ...(ALIKE[unit] ?? [])].filter((one) => one && one !== "1");
  const found = told.find((one) => bare.toLowerCase().endsWith(one) && bare.length > one.length);
  return found ? bare.slice(0, -found.length) : bare;
}

export function show(value, digits = 4) {
  const format = new Intl.NumberFormat(READER, { maximumSignificantDigits: digits, useGrouping: Math.abs(value) >= 10000 });
  // A space between thousands: a mark that is typed in could be taken for a decimal.
  return format.formatToParts(value).map((part) => (part.type === "group" ? NARROW_SPACE : part.value)).join("");
}

export function percent(ratio) {
  // Rounded up, so that nothing above a limit is shown at it.
  return new Intl.NumberFormat(READER, { style: "percent", maximumFractionDigits: 1, useGrouping: false }).format(Math.ceil(ratio * 1000 - 1e-9) / 1000);
}

// How much of what is allowed a load takes: of the design resistance, less what the site costs.
export const takes = (ratio) => say("the load takes {share} of what is allowed", { share: percent(ratio) });

export function force(kn, unit) {
  return unit === "kg" ? say("{force:.3g} kN (about {mass:.3g} kg)", { force: kn, mass: kn / KN_PER_KG }) : `${show(kn, 3)} kN`;
}
