"""An inbox as the protocol describes it, which a test can make fail in every way that a shop's network knows."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import BrowserContext, Route

Answer = Callable[["Inbox", dict[str, Any]], "tuple[int, Any]"]


@dataclass
class Inbox:
    """What the server holds.

    Attributes:
        received: every item in the order in which it was stored, once each.
        posts: number of requests.
        most: largest number of items in one request.
        refuse: key or kind -> state with which it is answered instead of stored.
        trouble: what the next requests meet, first come first: "lost" (stored, but the answer is lost), "down",
            a status, or a (status, body) pair.
        always: met by every request while it is set.
    """

    received: list[dict[str, Any]] = field(default_factory=list)
    posts: int = 0
    most: int = 0
    refuse: dict[str, str] = field(default_factory=dict)
    trouble: list[Any] = field(default_factory=list)
    always: Any = None
    headers: list[dict[str, str]] = field(default_factory=list)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def serve(self, context: BrowserContext) -> None:
        """Answer for /api/inbox in a browser context."""
        context.route("**/api/inbox", self._answer)

    @property
    def keys(self) -> list[str]:
        """Keys in the order in which they were stored."""
        return [item["key"] for item in self.received]

    def _answer(self, route: Route) -> None:
        with self._lock:
            self.posts += 1
            self.headers.append(route.request.headers)
            trouble = self.always or (self.trouble.pop(0) if self.trouble else None)
            if trouble == "down":
                route.abort("connectionrefused")
                return
            if isinstance(trouble, int):
                route.fulfill(status=trouble, body="")
                return
            if isinstance(trouble, tuple):
                status, body = trouble
                route.fulfill(status=status, body=body if isinstance(body, str) else json.dumps(body))
                return
            items = json.loads(route.request.post_data or "{}")["items"]
            self.most = max(self.most, len(items))
            results = [self._store(item) for item in items]
            if trouble == "lost":
                route.abort("connectionreset")
                return
            route.fulfill(status=200, content_type="application/json", body=json.dumps({"results": results}))

    def _store(self, item: dict[str, Any]) -> dict[str, Any]:
        state = self.refuse.get(item["key"]) or self.refuse.get(item["kind"])
        if state:
            problem = {"field": "value", "value": None, "message": "is missing"}
            return {"key": item["key"], "state": state, "result": {}, "problems": [problem]}
        held = next((each for each in self.received if each["key"] == item["key"]), None)
        if held is None:
            self.received.append(item)
            return {"key": item["key"], "state": "stored", "result": {}}
        same = (held["kind"], held["body"]) == (item["kind"], item["body"])
        return {"key": item["key"], "state": "again" if same else "refused", "result": {}}
