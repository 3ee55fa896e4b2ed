// A form that takes a while says so once it is sent, and is not sent twice.
for (const form of document.querySelectorAll("form[data-busy]")) {
  form.addEventListener("submit", () => {
    const button = form.querySelector("button");
    const said = document.createElement("p");
    said.setAttribute("role", "status");
    said.textContent = form.dataset.busy;
    form.append(said, document.createElement("progress"));
    // After this turn, so that the form is still sent.
    setTimeout(() => { button.disabled = true; });
  });
}
