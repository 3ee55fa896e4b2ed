// Forms of an improvement: an address that names a part opens its form; notes go through the device's queue.
import { theQueue } from "./queue.js";

function openNamed() {
  const wanted = location.hash.slice(1);
  const form = wanted && document.getElementById(`edit-${wanted}`);
  if (form) form.open = true;
}

addEventListener("hashchange", openNamed);
openNamed();
document.querySelector("details.edit[open] .is-wrong")?.scrollIntoView({ block: "center" });
void theQueue;
