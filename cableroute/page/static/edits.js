// A document of plain JSON, and edits of it as the server makes them: set, insert, move, delete.

export const keyOf = (path) => JSON.stringify(path);

export function at(document, path) {
  return path.reduce((inner, part) => (inner === null || inner === undefined ? undefined : inner[part]), document);
}

export function applied(document, ops) {
  const copy = structuredClone(document);
  for (const op of ops) apply(copy, op);
  return copy;
}

function apply(document, op) {
  const last = op.path.at(-1);
  const inner = op.op === "set" ? within(document, op.path) : at(document, op.path.slice(0, -1));
  if (inner === undefined || inner === null) return;
  if (op.op === "set") inner[last] = structuredClone(op.value);
  else if (op.op === "insert") insert(document, op);
  else if (op.op === "move") inner.splice(op.to, 0, ...inner.splice(last, 1));
  else if (Array.isArray(inner)) inner.splice(last, 1);
  else delete inner[last];
}

function insert(document, op) {
  const inner = within(document, op.path);
  if (Array.isArray(inner)) inner.splice(op.path.at(-1), 0, structuredClone(op.value));
}

// What a path's last part is in, made where it is not there yet.
function within(document, path) {
  return path.slice(0, -1).reduce((inner, part, i) => {
    if (inner[part] === undefined) inner[part] = typeof path[i + 1] === "number" ? [] : {};
    return inner[part];
  }, document);
}

// What must be as it was for ops to mean the same in another text: who the rows are, what is replaced.
export function seenBy(document, ops) {
  return JSON.stringify(ops.map((op) => {
    const rows = op.path.flatMap((part, i) => {
      const row = typeof part === "number" ? at(document, op.path.slice(0, i + 1)) : null;
      return row && typeof row === "object" && !Array.isArray(row) ? [row.name ?? row.label ?? null] : [];
    });
    const what = op.op === "set" || op.op === "delete" ? op.path : op.path.slice(0, -1);
    return [rows, at(document, what) ?? null];
  }));
}
