// Tables of the file as text in fields and back, by the JSON Schema of their models.

import { typedValue } from "./words.js";

// The kinds of value that a schema allows, nothing apart.
export function kinds(schema) {
  return (schema.anyOf || [schema]).flatMap((each) => (each.anyOf ? kinds(each) : [each])).filter((each) => each.type !== "null");
}

export function tableOf(tables, schema) {
  const found = kinds(schema).find((each) => each.$ref);
  return found && tables[found.$ref.split("/").at(-1)];
}

export function listOf(tables, schema) {
  const list = kinds(schema).find((each) => each.type === "array" && each.items);
  return list && tableOf(tables, list.items);
}

// Values in a row are parted by commas, rows by semicolons.
export function textOf(value) {
  if (value === undefined || value === null) return "";
  if (!Array.isArray(value)) return String(value);
  return value.some(Array.isArray) ? value.map(textOf).join("; ") : value.map(String).join(", ");
}

export function valueOf(schema, text) {
  const all = kinds(schema), list = all.find((each) => each.type === "array");
  if (list && (all.length === 1 || /[,;]/.test(text))) {
    const part = list.items || list.prefixItems[0], isRows = kinds(part).some((each) => each.type === "array");
    return text.split(isRows ? ";" : ",").map((each) => valueOf(part, each));
  }
  if (all.some((each) => each.type === "boolean")) return text === "true";
  return all.every((each) => each.type === "string" && !each.format) ? text.trim() : typedValue(text);
}

// A table as what stands in its fields; a table within that is not there stays out.
export function typedTable(tables, table, value) {
  const needed = table.required || [];
  return Object.fromEntries(Object.entries(table.properties).map(([key, schema]) => {
    const one = tableOf(tables, schema), many = !one && listOf(tables, schema), given = value[key];
    if (one) return [key, given !== undefined || needed.includes(key) ? typedTable(tables, one, given || {}) : undefined];
    return [key, many ? (given || []).map((each) => typedTable(tables, many, each)) : textOf(given)];
  }));
}

// What the fields say as the file would hold it; what was not touched stays as it was written.
export function writtenTable(tables, table, typed, before = {}) {
  const was = before || {}, found = Object.entries(table.properties).map(([key, schema]) => {
    const one = tableOf(tables, schema), many = !one && listOf(tables, schema), now = typed[key];
    if (one) return [key, now && writtenTable(tables, one, now, was[key])];
    if (many) return [key, now.length ? now.map((each, i) => writtenTable(tables, many, each, (was[key] || [])[i])) : undefined];
    if (now.trim() === "") return [key, undefined];
    return [key, now === textOf(was[key]) ? was[key] : valueOf(schema, now)];
  });
  return Object.fromEntries(found.filter(([, value]) => value !== undefined));
}
