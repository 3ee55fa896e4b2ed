// The drop zone: a file dropped anywhere on it goes into the field, and what is too large is said before it is sent.

const form = document.getElementById("drop");
const zone = form?.querySelector(".drop-zone");
const field = form?.querySelector("input[type=file]");
const said = document.getElementById("file-said");

const size = (bytes) => (bytes < 1024 * 1024 ? `${Math.max(1, Math.round(bytes / 1024))} kB` : `${(bytes / 1024 / 1024).toFixed(1)} MB`);

/** Say which file was chosen; false where it is too large to be sent. */
function look() {
  const [file] = field.files;
  if (!file) return false;
  const most = Number(form.dataset.most);
  const fits = file.size <= most * 1024 * 1024;
  said.textContent = fits ? `${file.name}, ${size(file.size)}` : `${file.name} has ${size(file.size)}; at most ${most} MB are taken. Split it by week.`;
  said.classList.toggle("wrong", !fits);
  field.setCustomValidity(fits ? "" : said.textContent);
  return fits;
}

if (form) {
  field.addEventListener("change", look);
  for (const kind of ["dragenter", "dragover"]) {
    zone.addEventListener(kind, (event) => {
      event.preventDefault();
      zone.classList.add("is-over");
    });
  }
  zone.addEventListener("dragleave", (event) => {
    if (!zone.contains(event.relatedTarget)) zone.classList.remove("is-over");
  });
  zone.addEventListener("drop", (event) => {
    event.preventDefault();
    zone.classList.remove("is-over");
    if (!event.dataTransfer.files.length) return;
    field.files = event.dataTransfer.files;
    if (look()) form.requestSubmit();
  });
}
