// A button that puts what a box holds on the clipboard.
for (const button of document.querySelectorAll("[data-copy]")) {
  const box = document.getElementById(button.dataset.copy);
  button.hidden = false;
  button.addEventListener("click", async () => {
    box.select();
    // Beyond this computer and without a certificate there is only the old way.
    if (navigator.clipboard) await navigator.clipboard.writeText(box.value);
    else document.execCommand("copy");
    button.textContent = button.dataset.copied;
  });
}
