"""Starts workers that have everything loaded, listens to them, and kills them."""

from __future__ import annotations

import json
import os
import queue
import signal
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

WORKER = Path(__file__).with_name("worker.py")
KILL = getattr(signal, "SIGKILL", signal.SIGTERM)  # on Windows os.kill ends the process at once by either
PATIENCE_S = 60.0


@dataclass
class Life:
    """What a worker told before it was killed.

    Attributes:
        begun: the step that it was in when it was killed; None between two steps.
        done: every finished step: what, and its particulars.
        tried: every batch that was begun.
        status: as the system says how it ended.
    """

    begun: str | None = None
    done: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    tried: dict[str, int] = field(default_factory=dict)
    status: int | None = None

    def hear(self, word: str, what: str, more: dict[str, Any]) -> None:
        """Take in one line."""
        assert word in ("begin", "done"), what
        self.begun = what if word == "begin" else None
        if word == "done":
            self.done.append((what, more))
        elif what == "batch":
            self.tried[more["name"]] = more["rows"]

    def all_done(self, what: str) -> list[dict[str, Any]]:
        """The particulars of every finished step of a kind."""
        return [more for name, more in self.done if name == what]


class Nursery:
    """A process that brings up one worker after the other."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | None = None
        self._worker: int | None = None
        self._lines: queue.Queue[str | None] = queue.Queue()

    def live(self, job: str, folder: Path, run: str, *, lines: int, then_s: float) -> Life:
        """Let a worker tell so many lines and go on for some time, kill it, and return what it told.

        Lines rather than time alone, so that a busy machine kills at the same places as an idle one.
        """
        process = self._started()
        assert process.stdin is not None
        process.stdin.write(json.dumps({"job": job, "folder": str(folder), "run": run}) + "\n")
        process.stdin.flush()
        first = self._lines.get(timeout=PATIENCE_S)
        assert first is not None
        assert first.startswith("pid ")
        self._worker = int(first[4:])
        life = Life()
        for _ in range(lines):
            line = self._lines.get(timeout=PATIENCE_S)
            assert line is not None
            life.hear(*json.loads(line))
        time.sleep(then_s)
        os.kill(self._worker, KILL)
        self._hear_out(life)
        self._worker = None
        return life

    def close(self) -> None:
        """Let the nursery end by itself, and with it the worker of a test that broke off."""
        if self._worker is not None:
            os.kill(self._worker, KILL)
        if self._process is not None:
            assert self._process.stdin is not None
            self._process.stdin.close()
            self._process.wait(PATIENCE_S)
            self._listener.join(PATIENCE_S)
            self._process = None

    def _hear_out(self, life: Life) -> None:
        while (line := self._lines.get(timeout=PATIENCE_S)) is not None:
            if line.startswith("ended "):
                life.status = int(line[6:])
                return
            if line.endswith("\n"):  # a line that was cut off by the kill was never told
                life.hear(*json.loads(line))
        # Without a nursery the worker was the process itself.
        assert self._process is not None
        assert self._process.stdin is not None
        life.status = self._process.wait(PATIENCE_S)
        self._process.stdin.close()
        self._process = None

    def _started(self) -> subprocess.Popen[str]:
        if self._process is None:
            self._process = subprocess.Popen(
                [sys.executable, str(WORKER)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
            )
            self._listener = threading.Thread(target=self._listen, args=(self._process,), daemon=True)
            self._listener.start()
        return self._process

    def _listen(self, process: subprocess.Popen[str]) -> None:
        assert process.stdout is not None
        with process.stdout as told:
            for line in told:
                self._lines.put(line)
        self._lines.put(None)
