// After signing out: pages that were kept for when the network is gone are another person's business. The outbox stays.
if ("caches" in window) caches.delete("fw-pages");
