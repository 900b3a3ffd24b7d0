// Where the focus goes: it stays where it is; what goes away leaves it to what comes in its stead.

const CAN = "a[href], button, input, select, summary, [tabindex]";
const PARTS = "section, header, nav, footer, body";
let wanted = null;

// Ask for the focus at what `find` returns, as soon as the page is drawn with it.
export function focusOn(find) {
  wanted = find;
}
// Who presses something else meanwhile does not want it any more.
for (const press of ["keydown", "pointerdown"]) addEventListener(press, () => { wanted = null; }, true);

const all = (within) => [...within.querySelectorAll(CAN)];

// What is new where the lost one was; else the next one of the same part of the page, or the last.
function heir(trail, before) {
  const near = trail.find((each) => each.isConnected), part = near.closest(PARTS), place = before.indexOf(trail[0]);
  const now = all(part).filter((each) => each.getClientRects().length > 0);
  return now.find((each) => near.contains(each) && !before.includes(each))
    ?? now.find((each) => before.indexOf(each) > place) ?? now.at(-1);
}

export function keepFocus(draw) {
  const trail = [], before = all(document);
  for (let each = document.activeElement; each; each = each.parentElement) trail.push(each);
  draw();
  const asked = wanted?.();
  if (asked) {
    wanted = null;
    asked.focus();
  } else if (trail[0] && !trail[0].isConnected) heir(trail, before)?.focus();
}

// A link to a place of this page: the fragment of the address is for the token alone.
addEventListener("click", (event) => {
  const link = event.target.closest?.("a[href^='#']");
  if (!link) return;
  event.preventDefault();
  document.getElementById(link.hash.slice(1))?.focus();
});
