// The camera: the live picture with the photo before faintly over it, where the browser allows a stream; elsewhere the
// phone's own camera. Then before beside now, and onto the queue.
import { StorageFull } from "./queue.js";
import { shrink } from "./photo_shrink.js";
import { sendPhoto, whenAnswered } from "./photo_send.js";

const form = document.querySelector("[data-camera]");
const live = document.getElementById("live");
const plain = document.getElementById("plain");
const beside = document.getElementById("beside");
const video = live.querySelector("video");
const ghost = live.querySelector(".ghost");
const again = form.querySelector("[data-again]");
const state = form.querySelector("[data-state]");
let taken = null;
let stream = null;

async function openCamera() {
  if (!globalThis.isSecureContext || !navigator.mediaDevices?.getUserMedia) return false;
  try {
    stream = await navigator.mediaDevices.getUserMedia({
      video: { facingMode: "environment", width: { ideal: 2048 }, height: { ideal: 1536 } },
    });
  } catch {
    return false; // no camera, or it was not allowed: the file field stays
  }
  video.srcObject = stream;
  live.hidden = false;
  plain.hidden = true;
  form.elements.photos.required = false;
  return true;
}

const strength = document.getElementById("ghost-strength");
const shine = () => ghost && (ghost.style.opacity = String(strength.value / 100));
strength?.addEventListener("input", shine);
shine();

live.querySelector("[data-shutter]").addEventListener("click", async () => {
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  canvas.getContext("2d").drawImage(video, 0, 0);
  canvas.toBlob((blob) => blob && take(blob), "image/jpeg", 0.92);
});

form.elements.photos.addEventListener("change", () => {
  const [file] = form.elements.photos.files;
  if (file) take(file);
});

async function take(file) {
  try {
    taken = await shrink(file);
  } catch {
    state.textContent = form.dataset.unread;
    return;
  }
  const shown = beside.querySelector("[data-taken]");
  URL.revokeObjectURL(shown.src);
  shown.src = URL.createObjectURL(taken);
  state.textContent = "";
  live.hidden = true;
  plain.hidden = true;
  beside.hidden = false;
  again.hidden = false;
}

again.addEventListener("click", () => {
  taken = null;
  form.elements.photos.value = "";
  beside.hidden = true;
  again.hidden = true;
  live.hidden = stream === null;
  plain.hidden = stream !== null;
});

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  if (!taken) return (stream ? live.querySelector("[data-shutter]") : form.elements.photos).focus();
  const number = Number(form.dataset.camera);
  try {
    const key = await sendPhoto(number, taken, {
      moment: form.elements.moment.value,
      caption: form.elements.caption.value.trim(),
    });
    state.textContent = form.dataset.kept;
    form.querySelector("button").disabled = true;
    whenAnswered([key], (stored) => location.assign(stored ? `/improvements/${number}#seen` : "/waiting"));
  } catch (error) {
    state.textContent = error instanceof StorageFull ? form.dataset.full : String(error.message ?? error);
  }
});

addEventListener("pagehide", () => stream?.getTracks().forEach((track) => track.stop()));
openCamera();
