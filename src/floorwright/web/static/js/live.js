// Today on a phone: the groups stand as one line each with their count, all above the fold; on the desk all are open.
const small = matchMedia("(max-width: 640px)");

function fold() {
  if (!small.matches) return;
  const groups = document.querySelectorAll("details.group");
  if (groups.length > 1) for (const group of groups) group.open = false;
}

fold();
// The page is put in anew while results are worked out; what somebody opened meanwhile stays open.
const open = new Set();
document.addEventListener(
  "toggle",
  ({ target }) => target.matches?.("details.group") && open[target.open ? "add" : "delete"](target.id),
  true,
);
new MutationObserver(() => {
  fold();
  for (const id of open) document.getElementById(id)?.setAttribute("open", "");
}).observe(document.getElementById("main"), { childList: true });
