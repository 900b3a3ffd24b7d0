// What can be taken away: the same files that the commands write.

import { app } from "./app.js";
import { button } from "./fields.js";
import { h } from "./tree.js";

const FILES = [["report.html", "Report, as a page"], ["report.pdf", "Report, to print"], ["report.md", "Report, as text"],
               ["sheet.html", "Sheet for the bench, as a page"], ["sheet.pdf", "Sheet for the bench, to print"],
               ["template.pdf", "Bending template, full size"], ["route.dxf", "Run, as DXF"], ["points.csv", "Points along the run, CSV"],
               ["clips.csv", "Clips, CSV"], ["linkage.csv", "Linkages, CSV"], ["file.toml", "The file itself"]];
let said = "", isWrong = false, busy = "";

function hand(name, data) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(data);
  link.download = name === "file.toml" ? app.state.file : `${app.state.file.replace(/\.toml$/i, "")}-${name}`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

async function take(name) {
  [busy, said, isWrong] = [name, `Making ${name} …`, false];
  app.change();
  try {
    const reply = await fetch(`/api/export/${name}`);
    if (reply.ok) hand(name, await reply.blob());
    [said, isWrong] = reply.ok ? [`${name} is ready.`, false] : [(await reply.json()).error, true];
  } catch {
    [said, isWrong] = ["The server is gone.", true];
  }
  busy = "";
  app.change();
}

export function away() {
  const has = (name) => name === "file.toml" || (app.state.answer && (name !== "linkage.csv" || app.state.answer.assessment.linkages.length));
  return [
    h("h2", null, "Take away"),
    h("p", { class: "quiet" }, "The same files that the commands write, of the file as it is saved now."),
    h("ul", { class: "away", key: "files" }, FILES.filter(([name]) => has(name)).map(([name, words]) =>
      h("li", { key: name }, button(words, () => take(name), { disabled: busy !== "", id: `take-${name.replace(".", "-")}` })))),
    h("p", { role: "status", class: isWrong ? "wrong" : "echo", key: "said" }, said)];
}
