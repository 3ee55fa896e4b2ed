// The pairing code counts down, and the list below shows the phone as soon as it is in.
const pairing = document.getElementById("pairing");
const left = document.getElementById("left");
const list = document.getElementById("list");
const end = performance.now() + Number(left.dataset.left) * 1000;
const timers = [setInterval(show, 1000), setInterval(look, 3000)];

function finish(text) {
  timers.forEach(clearInterval);
  left.setAttribute("role", "status");
  left.textContent = text;
  pairing.classList.add("over");
}

function show() {
  const seconds = Math.max(0, Math.ceil((end - performance.now()) / 1000));
  if (seconds === 0) finish(left.dataset.over);
  else left.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")} left.`;
}

async function look() {
  try {
    const answer = await fetch("/settings/phones", { headers: { "HX-Request": "true" } });
    if (!answer.ok) return;
    const found = document.createElement("div");
    found.innerHTML = await answer.text();
    if (found.querySelectorAll(".cards > li").length <= list.querySelectorAll(".cards > li").length) return;
    list.replaceChildren(...found.childNodes);
    finish(left.dataset.paired);
  } catch {
    // The server does not answer; the next look is soon.
  }
}

show();
