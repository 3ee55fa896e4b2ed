// Noting a waste: the photo is shown at once, everything goes onto the device first, and is sent when it can.
import { theQueue, StorageFull } from "./queue.js";
import { forgetForm, keepForms } from "./store.js";
import { base64, shrink } from "./photo_shrink.js";

const form = document.querySelector("[data-add]");
const kept = document.getElementById("kept");
const shown = form.querySelector(".shot-shown");
const LAST = "fw-last-area";
let photo = null; // a promise of the shrunk picture
let key = "";

/** Show or hide what is wrong; the class tells `keepForms` that a form shows problems. */
function say(said, on) {
  if (!said) return on;
  said.hidden = !on;
  said.classList.toggle("wrong", on);
  return on;
}

const wrong = (name, on) => say(document.getElementById(`w-${name}`), on);

function rememberPlace() {
  const last = localStorage.getItem(LAST);
  const places = [...form.querySelectorAll('[name="area"]')];
  if (places.some((each) => each.type === "radio" && each.checked)) return;
  for (const each of places) if (each.type === "radio" && each.value === last) each.checked = true;
}

function takePhoto() {
  const [file] = form.elements.photo.files;
  if (!file) return;
  wrong("photo", false);
  photo = shrink(file);
  photo.then(
    (blob) => {
      URL.revokeObjectURL(shown.src);
      shown.src = URL.createObjectURL(blob);
      shown.hidden = false;
      form.querySelector(".shot-text").hidden = true;
      form.querySelector(".shot").classList.add("is-taken");
    },
    () => {
      photo = null;
      form.elements.photo.value = "";
      document.getElementById("w-photo").textContent = form.dataset.unread;
      wrong("photo", true);
    },
  );
}

form.elements.photo.addEventListener("change", takePhoto);
takePhoto(); // one that was chosen before this script was there

form.noValidate = true;
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const values = new FormData(form);
  const body = Object.fromEntries(["title", "area", "waste"].map((name) => [name, (values.get(name) ?? "").trim()]));
  const missing = Object.keys(body).filter((name) => wrong(name, !body[name]));
  if (missing.length) return form.querySelector(`[name="${missing[0]}"]`).focus();
  const button = form.querySelector(".send");
  button.disabled = true;
  try {
    await keep(body);
  } catch (error) {
    const trouble = form.querySelector("[data-trouble]");
    trouble.textContent = error instanceof StorageFull ? form.dataset.full : String(error.message ?? error);
    say(trouble, true);
  } finally {
    button.disabled = false;
  }
});

async function keep(body) {
  const jpeg = photo ? await base64(await photo) : "";
  const queue = await theQueue();
  // Both are kept before either may be sent, so that no improvement goes out without the photo taken for it.
  key = await queue.draft("improvement", body);
  const keys = [key];
  if (jpeg) {
    try {
      keys.push(await queue.draft("photo", { improvement: { key }, moment: "before", jpeg }));
    } catch (error) {
      await queue.redraft(key, null);
      throw error;
    }
  }
  tell(body.title);
  await queue.release(keys);
  localStorage.setItem(LAST, body.area);
  forgetForm(form);
}

function tell(title) {
  kept.querySelector("[data-title]").textContent = title;
  kept.querySelector("[data-state]").textContent = form.dataset.kept;
  kept.querySelector("[data-link]").hidden = true;
  kept.querySelector("[data-refused]").hidden = true;
  document.getElementById("add").hidden = true;
  kept.hidden = false;
  kept.focus();
  scrollTo(0, 0);
}

addEventListener("queue:stored", ({ detail }) => {
  const answer = detail.find((each) => each.key === key);
  if (!answer) return;
  const taken = answer.state === "stored" || answer.state === "again";
  kept.querySelector("[data-state]").textContent = taken ? kept.querySelector("[data-sent]").textContent : "";
  kept.querySelector("[data-refused]").hidden = taken;
  if (!taken) return;
  const link = kept.querySelector("[data-link]");
  link.href = `/improvements/${answer.result.number}`;
  link.textContent = link.dataset.text.replace("{n}", answer.result.number);
  link.hidden = false;
});

kept.querySelector("[data-another]").addEventListener("click", () => {
  form.reset();
  photo = null;
  shown.hidden = true;
  form.querySelector(".shot-text").hidden = false;
  form.querySelector(".shot").classList.remove("is-taken");
  kept.hidden = true;
  document.getElementById("add").hidden = false;
  rememberPlace();
  form.elements.photo.focus();
});

keepForms();
rememberPlace();
