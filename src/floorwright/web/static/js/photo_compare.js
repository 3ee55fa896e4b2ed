// Before and after under one another, with an edge between them that a finger, a mouse or the arrow keys move.

export function makeSlider(box) {
  const [before, after] = box.querySelectorAll(".side");
  const image = before.querySelector("img");
  const slider = document.createElement("div");
  slider.className = "slider";
  slider.style.aspectRatio = `${image.getAttribute("width")} / ${image.getAttribute("height")}`;
  const layers = [before, after].map((side) => {
    const layer = document.createElement("div");
    layer.className = "layer";
    layer.append(side.querySelector(".photo"));
    slider.append(layer);
    return layer;
  });
  [before, after].forEach((side, at) => {
    const corner = document.createElement("span");
    corner.className = `corner ${at ? "right" : "left"}`;
    corner.textContent = side.querySelector(".tag").textContent;
    slider.append(corner);
  });
  const edge = document.createElement("span");
  edge.className = "edge";
  const range = document.createElement("input");
  Object.assign(range, { type: "range", min: 0, max: 100, value: 50, step: 1 });
  range.setAttribute("aria-label", box.dataset.label);
  range.autocomplete = "off";
  const show = () => {
    layers[1].style.clipPath = `inset(0 0 0 ${range.value}%)`;
    edge.style.left = `${range.value}%`;
  };
  range.addEventListener("input", show);
  slider.append(edge, range);
  const captions = document.createElement("div");
  captions.className = "captions";
  for (const side of [before, after]) {
    const text = document.createElement("p");
    text.textContent = side.querySelector("figcaption").textContent;
    captions.append(text);
  }
  box.replaceChildren(slider, captions);
  box.classList.add("is-slider");
  show();
}

document.querySelectorAll("[data-compare]").forEach(makeSlider);
