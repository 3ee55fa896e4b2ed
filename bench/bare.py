"""The least that a server can do with a lap: one handler on the same framework that appends the row to SQLite.

Run by bench/web.py as `python bench/bare.py PORT DATABASE`; nothing is checked here.
"""

from __future__ import annotations

import sqlite3
import sys
import threading
from typing import Any

import uvicorn
from fastapi import FastAPI


def bare_app(database: str) -> FastAPI:
    """The handler, with a durable database as the app's own is."""
    connection = sqlite3.connect(database, check_same_thread=False, isolation_level=None)
    connection.execute("pragma journal_mode = wal")
    connection.execute("pragma synchronous = full")
    connection.execute("create table o (study integer, key text unique, at text, cycle integer, s real)")
    lock = threading.Lock()
    app = FastAPI()

    @app.get("/about")
    def about() -> str:
        return "here"

    @app.post("/api/inbox")
    def inbox(batch: dict[str, Any]) -> dict[str, int]:
        rows = [
            (item["body"]["study"], row["key"], row["taken_at"], row["cycle"], row["value"])
            for item in batch["items"]
            for row in item["body"]["rows"]
        ]
        with lock:
            connection.execute("begin immediate")
            connection.executemany("insert into o values (?, ?, ?, ?, ?)", rows)
            connection.execute("commit")
        return {"stored": len(rows)}

    return app


if __name__ == "__main__":
    uvicorn.run(bare_app(sys.argv[2]), host="127.0.0.1", port=int(sys.argv[1]), log_level="warning")
