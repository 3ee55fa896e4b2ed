/**
 * What was typed into a form with data-keep survives a reload, the back key and a crash: it is kept on the device under
 * the path that the form is sent to and its id, and thrown away once the server took it. Passwords, files and hidden
 * fields are never kept. It belongs to the shop and to whoever typed it: nobody else is shown it, and it goes when they
 * sign out, when they are shut out, and when somebody else comes in on this device.
 */

import { shopOf, viewerOf, wasShutOut } from "./who.js";

const PREFIX = "fw-form-";
const NEVER = new Set(["password", "file", "hidden", "submit", "button", "reset", "image"]);
const WAIT_MS = 250;

// A form that is shown again with what is wrong stands under the path it was sent to, so that path is its name.
const nameOf = (form) => `${PREFIX}${new URL(form.getAttribute("action") || "", location.href).pathname}#${form.id}`;

const fieldsOf = (form) =>
  Array.from(form.elements).filter((each) => each.name && !NEVER.has(each.type) && each.tagName !== "BUTTON");

/** What a form holds: [name, value] in order; of boxes and buttons only what is chosen. */
function read(form) {
  return fieldsOf(form).flatMap((each) => {
    if (each.type === "checkbox" || each.type === "radio") return each.checked ? [[each.name, each.value]] : [];
    if (each.tagName === "SELECT") return Array.from(each.selectedOptions, (option) => [each.name, option.value]);
    return [[each.name, each.value]];
  });
}

function write(form, kept) {
  const left = kept.map(([name, value]) => ({ name, value }));
  const take = (name, value) => {
    const place = left.findIndex((each) => each.name === name && (value === undefined || each.value === value));
    return place < 0 ? undefined : left.splice(place, 1)[0].value;
  };
  for (const each of fieldsOf(form)) {
    if (each.type === "checkbox" || each.type === "radio") each.checked = take(each.name, each.value) !== undefined;
    else if (each.tagName === "SELECT") {
      for (const option of each.options) option.selected = take(each.name, option.value) !== undefined;
    } else each.value = take(each.name) ?? each.value;
    each.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

const names = () => Object.keys(localStorage).filter((each) => each.startsWith(PREFIX));
const whose = () => ({ shop: shopOf(), viewer: viewerOf() });
const anyones = (name) => JSON.parse(localStorage.getItem(name) ?? "null");

/** What was kept of a form by who looks at this page; null where nothing was. */
function stored(name) {
  const kept = anyones(name);
  return kept && kept.shop === shopOf() && kept.viewer === viewerOf() ? kept : null;
}

function put(name, kept) {
  try {
    localStorage.setItem(name, JSON.stringify(kept));
  } catch {
    // no room left: the form works as any form does, and the queue says that the device is full
  }
}

/** Came here by a link or the answer to a form that was taken, not by the back key, a reload or a typed address. */
function cameByForm() {
  const [entry] = performance.getEntriesByType("navigation");
  return entry?.type === "navigate" && !(entry.responseStatus >= 400) && document.referrer.startsWith(location.origin);
}

const PROBLEMS = "[aria-invalid=true], .wrong:not([hidden]), .problems:not([hidden])";
const showsProblems = (form) => form.querySelector(PROBLEMS) !== null;

/** Throw away what the server took: forms that were sent, unless they are shown again with what is wrong. */
function settleSent(root) {
  const here = new Map(Array.from(root.querySelectorAll("form[data-keep]"), (form) => [nameOf(form), form]));
  for (const name of names()) {
    const kept = stored(name);
    if (!kept?.sent) continue;
    const form = here.get(name);
    const taken = form ? cameByForm() && !showsProblems(form) : cameByForm();
    if (taken) localStorage.removeItem(name);
    else put(name, { ...kept, sent: false });
  }
}

/** Keep the forms of the page; call once. */
export function keepForms(root = document) {
  settleSent(root);
  for (const form of root.querySelectorAll("form[data-keep]")) keepForm(form);
}

function keepForm(form) {
  const name = nameOf(form);
  const kept = stored(name);
  if (kept && !showsProblems(form)) {
    write(form, kept.fields);
    form.dispatchEvent(new CustomEvent("form:restored", { bubbles: true }));
  }
  let timer = 0;
  const save = () => {
    clearTimeout(timer);
    put(name, { ...whose(), fields: read(form), sent: false });
  };
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(save, WAIT_MS);
  });
  form.addEventListener("change", save);
  addEventListener("pagehide", () => timer && !stored(name)?.sent && save());
  form.addEventListener("submit", () => {
    clearTimeout(timer);
    timer = 0;
    put(name, { ...whose(), fields: read(form), sent: true });
  });
}

/** Throw away what was typed by people who are not here any more; what waits in the outbox is not touched. */
export function forgetOthers() {
  const { shop, viewer } = whose();
  for (const name of names()) {
    const kept = anyones(name);
    if (viewer ? kept.shop === shop && kept.viewer !== viewer : wasShutOut()) localStorage.removeItem(name);
  }
}

/** Throw away all that was typed on this device, because somebody signed out. */
export function forgetForms() {
  for (const name of names()) localStorage.removeItem(name);
}

/** Throw away what was kept of a form, once its content is in the queue. */
export function forgetForm(form) {
  localStorage.removeItem(nameOf(form));
}
