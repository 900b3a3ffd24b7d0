// Figures as they are told: lengths in the unit of the tape, forces in that of the scale.

const FEET = ["in", "ft"];
export const PER = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 };
const FORCES = { N: 1, kN: 1000, lbf: 4.4482216152605, kgf: 9.80665 };

export function feetInches(mm) {
  let parts = Math.round((Math.abs(mm) / 25.4) * 16);
  const feet = Math.floor(parts / 192), sign = mm < 0 && parts ? "−" : "";
  parts -= feet * 192;
  const inches = Math.floor(parts / 16);
  let above = parts % 16, below = 16;
  while (above && above % 2 === 0) [above, below] = [above / 2, below / 2];
  const rest = above ? `${inches ? `${inches} ` : ""}${above}/${below}` : `${inches}`;
  return `${sign}${feet ? `${feet}' ` : ""}${rest}"`.replaceAll(" ", "\u00a0");
}

export function length(mm, unit) {
  if (mm === null || mm === undefined) return "–";
  return FEET.includes(unit) ? feetInches(mm) : `${Math.round(mm)}\u00a0mm`;
}

export function bothLengths(mm) {
  return `${Number(mm.toFixed(1)).toString().replace("-", "−")}\u00a0mm = ${feetInches(mm)}`;
}

export function force(newtons, unit) {
  if (newtons === null || newtons === undefined) return "–";
  const name = unit in FORCES ? unit : "N", value = newtons / FORCES[name];
  return `${Math.abs(value) < 20 ? value.toFixed(1) : Math.round(value)}\u00a0${name}`;
}

// What was typed as the file would hold it: a bare number is one, all else is tape notation.
export function typedValue(text) {
  const bare = text.trim();
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(bare) ? Number(bare) : bare;
}

// A range is typed as `0.08 to 0.15`; one number stands for both ends.
export function typedRange(text) {
  const parts = text.split(/\s*(?:\bto\b|,|…)\s*/).map(typedValue);
  return parts.length === 1 ? parts[0] : parts;
}

export function shownValue(value) {
  if (value === null || value === undefined) return "";
  return Array.isArray(value) ? value.join(" to ") : String(value);
}

export const sorry = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;
