// After signing out: pages that were kept for when the network is gone, and what was typed and not sent, are another
// person's business. The outbox stays.
import { forgetForms } from "./store.js";

forgetForms();
if ("caches" in window) caches.delete("fw-pages");
