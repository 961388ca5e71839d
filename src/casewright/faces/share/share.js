// The shared page: the cabinet in space, a piece's drawing when it is pressed, the project file to save.
import { Viewer } from "casewright-viewing/index.js";

const by = (id) => document.getElementById(id);
const dark = matchMedia("(prefers-color-scheme: dark)");

function open(key) {
  const details = by(`piece-${key}`);
  if (!details) return false;
  details.open = true;
  details.scrollIntoView({ block: "nearest", behavior: "smooth" });
  return true;
}

const viewer = new Viewer(by("space"), (name, data) => {
  if (name === "without_3d") {
    by("space").textContent = "This browser shows no pictures in space; the drawings below tell everything.";
  }
  if (name === "pick" && data.key) {
    const owner = open(data.key) ? data.key : data.owner;
    const summary = document.querySelector(`#piece-${CSS.escape(owner)} summary`);
    by("picked").textContent = summary ? summary.firstChild.textContent.trim() : data.owner;
  }
});
const theme = () => viewer.setOptions({ theme: dark.matches ? "dark" : "light", dots: false });
dark.addEventListener("change", theme);
theme();
viewer.setScene(JSON.parse(by("scene").textContent));
by("apart").addEventListener("input", (event) => viewer.setOptions({ apart: Number(event.target.value) }));
by("apart").addEventListener("change", () => viewer.fit());
by("glass").addEventListener("change", (event) => viewer.setOptions({ see_through: event.target.checked }));
by("bodies").addEventListener("change", (event) => viewer.setOptions({ bodies: event.target.checked }));

by("save").addEventListener("click", () => {
  const project = by("casewright-project");
  const link = document.createElement("a");
  link.href = `data:application/octet-stream;base64,${project.textContent}`;
  link.download = project.dataset.name;
  link.click();
});
