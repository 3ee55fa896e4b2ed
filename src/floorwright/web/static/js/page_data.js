/** What the server gives a script: data of the page, and every text that it shows. */

export const data = JSON.parse(document.getElementById("page-data")?.textContent ?? "{}");

/** A text of the page in its language, with {names} filled in. */
export function t(key, values = {}) {
  const text = data.strings?.[key] ?? key;
  return text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
}

/** The element with this id. */
export const by = (id) => document.getElementById(id);

/** A new element. */
export function make(tag, { text = "", className = "", ...attributes } = {}, ...children) {
  const made = document.createElement(tag);
  if (text) made.textContent = text;
  if (className) made.className = className;
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

/** Say something to people who do not see the screen; at most every few seconds, the last one counts. */
export function announcer(region, apart_ms = 4000) {
  let last = -Infinity;
  let timer = 0;
  return (text, now = false) => {
    clearTimeout(timer);
    const say = () => {
      last = performance.now();
      region.textContent = text;
    };
    const wait = last + apart_ms - performance.now();
    if (now || wait <= 0) say();
    else timer = setTimeout(say, wait);
  };
}
