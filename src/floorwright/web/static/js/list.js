// The list follows what is typed; the address follows the list, so that a reload, a bookmark and the back key find it.
document.documentElement.classList.add("has-script");

// On a phone the list itself comes first; without this script all filters stand open.
const narrow = document.querySelector(".narrow");
if (matchMedia("(max-width: 959px)").matches && !("used" in narrow.dataset)) narrow.open = false;

new MutationObserver(() => {
  const query = document.querySelector("#list [data-query]")?.dataset.query;
  if (query !== undefined) history.replaceState(history.state, "", query ? `?${query}` : location.pathname);
}).observe(document.getElementById("list"), { childList: true });
