// Figures as the reader writes and reads them.

export const KN_PER_KG = 0.00980665; // standard acceleration of free fall, 9.80665 m/s²

const READER = navigator.languages?.[0] ?? navigator.language;
const COULD_BE_THOUSANDS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;
const FIGURE = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/;

// Returns a number, null for nothing, or throws words for the reader.
export function read(text) {
  const bare = text.replace(/[\s\u00a0\u202f'’]/g, "").replace("−", "-");
  if (bare === "") return null;
  if (COULD_BE_THOUSANDS.test(bare)) {
    const [whole, rest] = bare.split(/[.,]/);
    throw new Error(`“${text}” can be read in two ways: write ${whole}${rest} if that is meant, or leave away or add a digit after the comma.`);
  }
  if (!FIGURE.test(bare)) throw new Error(`“${text}” is no number. Write it in digits, for example 150 or 1,5.`);
  return Number(bare.replace(",", "."));
}

export function show(value, digits = 4) {
  // Without marks between thousands: one that is typed in could be taken for a decimal.
  return new Intl.NumberFormat(READER, { maximumSignificantDigits: digits, useGrouping: false }).format(value);
}

export function percent(ratio) {
  // Rounded up, so that nothing above a limit is shown at it.
  return new Intl.NumberFormat(READER, { style: "percent", maximumFractionDigits: 1 }).format(Math.ceil(ratio * 1000 - 1e-9) / 1000);
}

export function force(kn, unit) {
  return unit === "kg" ? `${show(kn / KN_PER_KG, 3)} kg` : `${show(kn, 3)} kN`;
}
