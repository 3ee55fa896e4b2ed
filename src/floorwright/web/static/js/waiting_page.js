// The page of what waits: says what it is, why the shop did not take it, and lets a person decide.
import { theQueue } from "./queue.js";
import { ownerOf } from "./who.js";

const { strings, fields, here, all } = JSON.parse(document.getElementById("page-data").textContent);
const filled = (text, values) => text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
/** The name of a field as people know it: `rows[3].value` is "Reading 4: Reading". */
const named = (path) =>
  path
    .split(".")
    .map((part) => {
      const [, name, index] = /^([^[]*)(?:\[(\d+)\])?$/.exec(part) ?? [null, part];
      return `${fields[name] ?? name.replaceAll("_", " ")}${index ? ` ${Number(index) + 1}` : ""}`;
    })
    .join(": ");
const make = (tag, text, className = "") => {
  const made = document.createElement(tag);
  if (text) made.textContent = text;
  if (className) made.className = className;
  return made;
};

function nameOf({ kind, body, made_at }) {
  const words = filled(strings[kind] ?? kind, {
    title: body?.title ?? "",
    text: body?.text ?? "",
    measure: body?.measure ?? "",
    n: body?.rows?.length ?? 1,
  });
  return `${words} · ${made_at.slice(0, 16).replace("T", " ")}`;
}

function button(text, act, className = "button plain") {
  const made = make("button", text, className);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

/** Throwing away is for good, so it takes a second tap on the same button. */
function discardButton(queue, key) {
  const made = button(strings.discard, () => {
    if (made.dataset.armed) queue.discard(key);
    made.dataset.armed = "yes";
    made.textContent = strings.sure;
  }, "button away");
  return made;
}

const shown = (value) =>
  value === null || value === undefined || value === "" ? strings.empty : typeof value === "string" ? value : JSON.stringify(value);

function clashList(clashes) {
  const list = make("dl", "", "facts");
  for (const { field, yours, theirs } of clashes) {
    list.append(make("dt", named(field)));
    const both = make("dd");
    both.append(make("div", filled(strings.yours, { value: shown(yours) })));
    both.append(make("div", filled(strings.there, { value: shown(theirs) })));
    list.append(both);
  }
  return list;
}

function asideItem(queue, item) {
  const box = make("div", "", "problems");
  box.append(make("h3", nameOf(item)));
  const { state, problems = [], result = {} } = item.answer;
  if (state === "held") box.append(make("p", strings.held));
  for (const each of problems) box.append(make("p", each.field ? `${named(each.field)}: ${each.message}` : each.message));
  if (result.clashes) box.append(clashList(result.clashes));
  const row = make("div", "", "row");
  if (state === "conflict") {
    row.append(button(strings.mine, () => queue.mend(item.key, { ...item.body, version: result.version })));
    row.append(button(strings.theirs, () => queue.discard(item.key)));
  } else {
    row.append(button(strings.try, () => queue.mend(item.key)));
    row.append(discardButton(queue, item.key));
  }
  box.append(row);
  return box;
}

/** Its text is for whoever recorded it (everybody who is let in where nobody signed in by name), and for a lead. */
const mayRead = (item) => all || (here && (!item.owner || item.owner === ownerOf()));

/** How many of what waits belongs to others, and to whom. */
function othersLines(items) {
  const counts = new Map();
  for (const { owner, by } of items) {
    const who = owner ? by : "";
    counts.set(who, (counts.get(who) ?? 0) + 1);
  }
  return [...counts].map(([who, n]) => make("li", filled(who ? strings.others : strings.shared, { n, who })));
}

async function draw(queue) {
  const [items, allAside] = [await queue.items(), await queue.asideItems()];
  const aside = allAside.filter(mayRead);
  const list = document.getElementById("waiting-list");
  list.replaceChildren(...items.filter(mayRead).map((item) => make("li", nameOf(item))));
  list.hidden = !list.childElementCount;
  const others = othersLines([...items, ...allAside].filter((item) => !mayRead(item)));
  document.getElementById("others-list").replaceChildren(...others);
  document.getElementById("others-list").hidden = !others.length;
  document.getElementById("aside").hidden = aside.length === 0;
  document.getElementById("aside-list").replaceChildren(...aside.map((item) => asideItem(queue, item)));
  const said = items.length || allAside.length ? strings[queue.status.state] : strings.nothing;
  document.getElementById("queue-state").textContent = said ?? "";
  document.getElementById("send-now").disabled = items.length === 0;
}

// Somebody signed in or out in another tab, or came back by the back key: this page is as old as they were here.
addEventListener("storage", ({ key }) => key === "fw-viewer" && location.reload());
addEventListener("pageshow", ({ persisted }) => persisted && location.reload());

const queue = await theQueue();
document.getElementById("send-now").addEventListener("click", () => queue.send(true));
addEventListener("queue:changed", () => draw(queue));
await draw(queue);
