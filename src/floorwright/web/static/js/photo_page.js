// The page of one photo: marks and masks are drawn over it; what is drawn goes along with the form.
import { keepForms } from "./store.js";
import { Drawing } from "./photo_draw.js";

const { marks, said } = JSON.parse(document.getElementById("held").textContent);
const canvas = document.getElementById("canvas");
const status = document.getElementById("drawn");
let drawing = null;

function say(what, values) {
  status.textContent = Object.entries(values).reduce((text, [name, value]) => text.replace(`{${name}}`, value), said[what]);
}

function open(fold) {
  for (const other of document.querySelectorAll("[data-draw]")) if (other !== fold) other.open = false;
  const still = canvas.querySelector(".drawn:not(.drawing)");
  if (still) still.style.display = "none";
  const label = document.getElementById("mark-label");
  const masks = fold.dataset.draw === "mask";
  drawing = new Drawing(canvas, {
    name: said.canvas,
    kind: () => (masks ? "box" : fold.querySelector('[aria-pressed="true"]').dataset.tool),
    label() {
      const words = masks ? "" : label.value.trim();
      if (!masks) label.value = "";
      return words;
    },
    say,
  });
  drawing.set(masks ? [] : marks);
}

function shut() {
  drawing?.remove();
  drawing = null;
  const still = canvas.querySelector(".drawn");
  if (still) still.style.display = "";
}

for (const fold of document.querySelectorAll("[data-draw]")) {
  fold.addEventListener("toggle", () => {
    if (fold.open) {
      shut();
      open(fold);
    } else if (!document.querySelector("[data-draw][open]")) shut();
  });
  for (const tool of fold.querySelectorAll("[data-tool]")) {
    tool.addEventListener("click", () => {
      for (const other of fold.querySelectorAll("[data-tool]")) other.setAttribute("aria-pressed", String(other === tool));
    });
  }
  fold.querySelector("[data-undo]").addEventListener("click", () => drawing?.undo());
  fold.querySelector("form").addEventListener("submit", ({ target: form }) => {
    const shapes = drawing?.shapes ?? [];
    if (form.elements.marks) form.elements.marks.value = JSON.stringify(shapes);
    else {
      const sides = ([[x1, y1], [x2, y2]]) => [Math.min(x1, x2), Math.min(y1, y2), Math.max(x1, x2), Math.max(y1, y2)];
      form.elements.boxes.value = JSON.stringify(shapes.map((each) => sides(each.points)));
    }
  });
}

keepForms();
// One that was opened before this script was there.
const early = document.querySelector("[data-draw][open]");
if (early) open(early);
