// Forms of an improvement: what was typed is kept, an address that names a part opens its form, and notes go through
// the device's queue, so that one written where there is no network is not lost.
import { StorageFull, theQueue } from "./queue.js";
import { forgetForm, keepForms } from "./store.js";

function openNamed() {
  const wanted = location.hash.slice(1);
  const form = wanted && document.getElementById(`edit-${wanted}`);
  if (form instanceof HTMLDetailsElement) form.open = true;
}

/** What was typed earlier stands open and says so. It carries the version that it was typed in sight of. */
addEventListener("form:restored", ({ target: form }) => {
  if (!form.dataset.typed) return;
  for (let fold = form.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  const said = document.createElement("p");
  const away = document.createElement("button");
  said.className = "typed";
  said.append(`${form.dataset.typed} `);
  away.type = "button";
  away.className = "link";
  away.textContent = form.dataset.away;
  away.addEventListener("click", () => {
    forgetForm(form);
    form.reset();
    said.remove();
  });
  said.append(away);
  form.prepend(said);
});

/** A note goes onto the device first, and the page shows it once the shop holds it. */
function queueNotes(form) {
  const said = form.querySelector(".kept");
  let key = "";
  form.addEventListener("submit", async (event) => {
    const text = form.elements.note.value.trim();
    if (!text) return; // the page itself says what is missing
    event.preventDefault();
    event.stopImmediatePropagation();
    try {
      key = await (await theQueue()).append("note", { improvement: Number(form.dataset.note), text });
      forgetForm(form);
      form.reset();
      said.textContent = form.dataset.kept;
    } catch (error) {
      if (!(error instanceof StorageFull)) throw error;
      said.textContent = form.dataset.full;
    }
  });
  addEventListener("queue:stored", ({ detail }) => {
    const answer = detail.find((each) => each.key === key);
    if (!answer) return;
    if (answer.state !== "stored" && answer.state !== "again") return location.assign("/waiting");
    said.textContent = form.dataset.sent;
    if (!form.elements.note.value) location.reload(); // unless the next one is being written
  });
}

addEventListener("hashchange", openNamed);
document.querySelectorAll("form[data-note]").forEach(queueNotes);
keepForms();
openNamed();
document.querySelector("details.edit[open] .is-wrong")?.scrollIntoView({ block: "center" });
