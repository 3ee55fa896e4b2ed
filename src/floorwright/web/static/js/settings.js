// Tables of boxes: an empty row is always there; what has not been saved is marked.
for (const table of document.querySelectorAll("[data-rows]")) {
  const body = table.tBodies[0];
  body.addEventListener("input", () => {
    const last = body.rows[body.rows.length - 1];
    if (![...last.querySelectorAll("input")].some((box) => box.value.trim())) return;
    const row = last.cloneNode(true);
    for (const box of row.querySelectorAll("input, select")) {
      if (box.tagName === "INPUT") box.value = "";
      const label = box.getAttribute("aria-label");
      if (label) box.setAttribute("aria-label", label.replace(/\d+/, String(body.rows.length + 1)));
    }
    body.append(row);
  });
}

for (const form of document.querySelectorAll("form.group-form")) {
  form.addEventListener("input", () => {
    const button = form.querySelector("button.plain");
    if (button) button.classList.remove("plain");
  });
}
