// Photos from files: made small on the device, kept in its queue, and shown once the shop holds them.
import { shrink } from "./photo_shrink.js";
import { sendPhoto, whenAnswered } from "./photo_send.js";

const form = document.querySelector("[data-upload]");
form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const said = form.querySelector(".kept");
  const button = form.querySelector("button");
  button.disabled = true;
  const more = { moment: form.elements.moment.value, caption: form.elements.caption.value.trim() };
  const keys = [];
  try {
    for (const file of form.elements.photos.files) {
      keys.push(await sendPhoto(Number(form.dataset.upload), await shrink(file), more));
    }
  } catch {
    said.textContent = form.dataset.unread;
    button.disabled = false;
    return;
  }
  said.textContent = form.dataset.kept;
  form.reset();
  button.disabled = false;
  whenAnswered(keys, (taken) => location.assign(taken ? location.pathname : "/waiting"));
});
