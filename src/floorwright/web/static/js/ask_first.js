/** People are asked before they are observed: until somebody says so, the page does not start. */

import { localIso } from "./clock.js";
import { by, data } from "./page_data.js";

const ASKED = `fw-asked-${data.study}`;

/** Whether the people were asked; a page kept for use without a network does not know the latest. */
export const wereAsked = () => data.asked || localStorage.getItem(ASKED) !== null;

/** Show the question where it is open. @param {() => void} answered */
export function askFirst(queue, answered) {
  by("ask").hidden = wereAsked();
  by("ask-yes").addEventListener("click", async () => {
    const people_asked_on = localIso(Date.now()).slice(0, 10);
    await queue.append("asked", { study: data.study, people_asked_on, version: data.version });
    localStorage.setItem(ASKED, people_asked_on);
    by("ask").hidden = true;
    answered();
  });
}
