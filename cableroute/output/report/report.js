// The report's own page: the scene is in it, the buttons are there.
const turn = document.getElementById("turn");
turn.hidden = false;
const view = draw({
  svg: document.getElementById("space"),
  seen: document.getElementById("space-seen"),
  key: document.getElementById("space-key"),
}, JSON.parse(document.getElementById("scene").textContent));
for (const button of turn.querySelectorAll("[data-view]:not(svg)")) {
  button.addEventListener("click", () => view.show(button.dataset.view));
}
for (const button of turn.querySelectorAll("[data-zoom]")) {
  button.addEventListener("click", () => view.zoom(button.dataset.zoom));
}
document.documentElement.dataset.ready = "1";
