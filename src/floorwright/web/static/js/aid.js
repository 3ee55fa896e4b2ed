// A link to a field opens whatever it is folded into, in browsers that do not by themselves, and puts the cursor there.
function show(place) {
  const found = place && document.getElementById(decodeURIComponent(place));
  if (!found) return;
  for (let each = found; each; each = each.parentElement) {
    if (each instanceof HTMLDetailsElement) each.open = true;
  }
  found.scrollIntoView({ block: "center" });
  if (found.matches("input, select, textarea")) found.focus({ preventScroll: true });
}

for (const link of document.querySelectorAll('a[href^="#"]')) {
  link.addEventListener("click", () => setTimeout(() => show(link.hash.slice(1))));
}
show(location.hash.slice(1));
