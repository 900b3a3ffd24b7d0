// A page as it should be, and the least that is changed to make it so: what has the focus stays
// where it is, and words are only ever text.

const NS = "http://www.w3.org/2000/svg";
const OWN = new Set(["value", "checked", "selected", "disabled", "hidden", "open"]);

export function h(tag, given, ...inside) {
  const kids = inside.flat(Infinity).filter((each) => each !== null && each !== undefined && each !== false && each !== "");
  return { tag, given: given || {}, kids };
}

export function render(parent, ...wanted) {
  patch(parent, h("-", null, ...wanted).kids, parent.namespaceURI === NS);
}

function patch(parent, wanted, inSvg) {
  const keyed = new Map();
  for (const node of parent.childNodes) if (node.key !== undefined) keyed.set(node.key, node);
  // those that go, go first: what has the focus would lose it by being moved past them
  const kept = new Set(wanted.map((each) => each.given?.key));
  for (const [key, node] of keyed) if (!kept.has(key)) node.remove();
  let here = parent.firstChild;
  for (const each of wanted) {
    const node = fitting(each, here, keyed, inSvg);
    if (node.parentNode === parent) while (here && here !== node && here.key === undefined) here = without(here);
    if (node === here) here = here.nextSibling;
    else parent.insertBefore(node, here);
    fill(node, each);
  }
  while (here) here = without(here);
}

// Take a node away and return what stood behind it.
function without(node) {
  const next = node.nextSibling;
  node.remove();
  return next;
}

// The node that is there already, if it is of the kind that is wanted; else a new one.
function fitting(each, here, keyed, inSvg) {
  if (typeof each !== "object") return here && here.nodeType === 3 ? here : document.createTextNode("");
  const key = each.given.key, old = key === undefined ? here : keyed.get(key);
  const isSame = old && old.nodeType === 1 && old.localName === each.tag && old.key === key;
  if (isSame) return old;
  const made = inSvg || each.tag === "svg" ? document.createElementNS(NS, each.tag) : document.createElement(each.tag);
  if (key !== undefined) made.key = key;
  return made;
}

function fill(node, each) {
  if (node.nodeType === 3) {
    if (node.data !== String(each)) node.data = String(each);
    return;
  }
  const before = node.given || {};
  for (const name of Object.keys(before)) if (!(name in each.given)) put(node, name, null);
  if (each.given.raw === undefined) patch(node, each.kids, node.namespaceURI === NS && each.tag !== "foreignObject");
  for (const [name, value] of Object.entries(each.given)) {
    if (OWN.has(name) || before[name] !== value) put(node, name, value);
  }
  node.given = each.given;
}

function put(node, name, value) {
  if (name === "key" || name === "raw") return;
  if (name.startsWith("on")) hear(node, name.slice(2), value);
  else if (OWN.has(name) && node.namespaceURI !== NS) own(node, name, value);
  else if (value === null || value === undefined || value === false) node.removeAttribute(name);
  else node.setAttribute(name, value === true ? "" : value);
}

function own(node, name, value) {
  const wanted = name === "value" ? String(value ?? "") : Boolean(value);
  if (node[name] !== wanted) node[name] = wanted;  // writing what is there would move the caret
}

function hear(node, type, doer) {
  node.heard ??= {};
  if (!(type in node.heard)) node.addEventListener(type, (event) => node.heard[type]?.(event));
  node.heard[type] = doer;
}
