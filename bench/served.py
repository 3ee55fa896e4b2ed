"""A server in a process of its own, and people who use it: for the benchmarks of the app."""

from __future__ import annotations

import contextlib
import datetime as dt
import http.client
import json
import os
import socket
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HEADERS = {"Content-Type": "application/json", "X-Floorwright": "inbox", "Accept-Encoding": "gzip"}


@dataclass(slots=True)
class Served:
    """A server that answers.

    Attributes:
        port: where.
        process: its process.
        start_s: from starting the command to its first page.
    """

    port: int
    process: subprocess.Popen[bytes]
    start_s: float

    def resident_mb(self) -> float:
        """Memory that the process holds now; 0 where the system does not say."""
        status = Path(f"/proc/{self.process.pid}/status")
        if not status.exists():
            return 0.0
        found = next(line for line in status.read_text().splitlines() if line.startswith("VmRSS"))
        return int(found.split()[1]) / 1024

    def get(self, path: str) -> tuple[float, int, bytes]:
        """Seconds, status and body of one page."""
        return asked(http.client.HTTPConnection("127.0.0.1", self.port, timeout=120), "GET", path)


@contextlib.contextmanager
def serving(command: Callable[[int], Sequence[str]], first: str = "/about") -> Iterator[Served]:
    """Run a server until the block ends; it has answered `first` when the block begins."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    start = time.perf_counter()
    environment = os.environ | {"PYTHONPATH": str(ROOT / "src")}
    process = subprocess.Popen([sys.executable, *command(port)], env=environment, stdout=subprocess.DEVNULL)
    try:
        wait_for(port, first, process)
        yield Served(port, process, time.perf_counter() - start)
    finally:
        process.terminate()
        process.wait(timeout=30)


def wait_for(port: int, path: str, process: subprocess.Popen[bytes]) -> None:
    """Until a server answers."""
    end = time.monotonic() + 120
    while time.monotonic() < end and process.poll() is None:
        with contextlib.suppress(OSError):
            asked(http.client.HTTPConnection("127.0.0.1", port, timeout=60), "GET", path)
            return
        time.sleep(0.01)
    raise RuntimeError("the server did not start")


def asked(
    connection: http.client.HTTPConnection, method: str, path: str, body: bytes | None = None
) -> tuple[float, int, bytes]:
    """Seconds, status and body of one request."""
    start = time.perf_counter()
    connection.request(method, path, body=body, headers=HEADERS)
    answer = connection.getresponse()
    found = answer.read()
    return time.perf_counter() - start, answer.status, found


@dataclass(slots=True)
class Taken:
    """How long the requests of one kind took."""

    seconds: list[float] = field(default_factory=list)
    failed: int = 0

    @property
    def median_ms(self) -> float:
        """Half of them were quicker."""
        return 1000 * statistics.median(self.seconds) if self.seconds else float("nan")

    @property
    def p95_ms(self) -> float:
        """Nineteen of twenty were quicker."""
        if not self.seconds:
            return float("nan")
        return 1000 * sorted(self.seconds)[min(len(self.seconds) - 1, int(0.95 * len(self.seconds)))]


def stopwatches(port: int, studies: Sequence[int], *, people: int, seconds: float) -> tuple[Taken, int]:
    """People who each send a lap a second. Returns how long that took and how many laps were sent."""
    found = [Taken() for _ in range(people)]
    counts = [0] * people
    begin = time.perf_counter() + 1.0

    def one(person: int) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        lap = 0
        while True:
            lap += 1
            due = begin + lap - 1 + person / people  # nobody presses in step
            if due > begin + seconds:
                break
            time.sleep(max(0.0, due - time.perf_counter()))
            took, status, body = asked(connection, "POST", "/api/inbox", lap_of(person, lap, studies))
            found[person].seconds.append(took)
            counts[person] += 1
            if status != 200 or b'"refused"' in body:
                found[person].failed += 1

    threads = [threading.Thread(target=one, args=(person,)) for person in range(people)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    whole = Taken([took for each in found for took in each.seconds], sum(each.failed for each in found))
    return whole, sum(counts)


def lap_of(person: int, lap: int, studies: Sequence[int]) -> bytes:
    """One lap as a phone sends it."""
    now = dt.datetime.now()  # noqa: DTZ005  a phone sends its own local time
    key = f"lap-{person}-{lap}"
    row = {
        "key": key,
        "taken_at": now.isoformat(timespec="milliseconds"),
        "cycle": lap,
        "value": 30 + (person * 7 + lap * 13) % 17 + 0.25,
        "operator": f"W{person}",
    }
    item = {
        "key": f"k-{key}",
        "kind": "readings",
        "made_at": now.isoformat(timespec="milliseconds"),
        "body": {"study": studies[person % len(studies)], "rows": [row]},
    }
    return json.dumps({"device_time": now.isoformat(timespec="milliseconds"), "items": [item]}).encode()


class Reader:
    """Somebody who reads pages, one after the other, while others time."""

    def __init__(self, port: int, requests: Sequence[tuple[str, str, str, bytes | None]]) -> None:
        self.taken = {name: Taken() for name, *_ in requests}
        self._port, self._requests = port, requests
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._read)

    def __enter__(self) -> Reader:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()

    def _read(self) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", self._port, timeout=120)
        while not self._over.is_set():
            for name, method, path, body in self._requests:
                took, status, _ = asked(connection, method, path, body)
                self.taken[name].seconds.append(took)
                self.taken[name].failed += status != 200
                self._over.wait(0.25)
