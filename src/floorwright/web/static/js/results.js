// Sliders beside the number boxes of the assumptions. Without script there are only the boxes and a button.

/** Put a slider under a number box; the two always say the same. */
function addSlider(box) {
  const slider = document.createElement("input");
  slider.type = "range";
  slider.min = "0";
  slider.max = box.dataset.most;
  slider.step = box.dataset.step;
  slider.value = box.value || "0";
  slider.setAttribute("aria-label", document.querySelector(`label[for="${box.id}"]`).textContent);
  const read = () => {
    const value = Number(box.value.replaceAll(",", ""));
    if (!Number.isFinite(value)) return;
    if (value > Number(slider.max)) slider.max = String(value);
    slider.value = String(value);
  };
  slider.addEventListener("input", () => {
    box.value = slider.value;
  });
  box.addEventListener("input", read);
  box.after(slider);
}

// Until the answer is there, what is shown is of before: it must not be kept.
document.getElementById("assume")?.addEventListener("input", () => {
  const shown = document.getElementById("worth-shown");
  shown.setAttribute("aria-busy", "true");
  for (const button of shown.querySelectorAll("button")) button.disabled = true;
});

for (const box of document.querySelectorAll("input[data-slider]")) addSlider(box);
