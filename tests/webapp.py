"""The app as tests use it: a copy of the demo shop, a person who sends forms, and a server of its own process."""

from __future__ import annotations

import datetime as dt
import os
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import httpx2 as httpx
from starlette.testclient import TestClient

from floorwright import bootstrap
from floorwright.cli.demo import build
from floorwright.shop.ports import Shop
from floorwright.web.app import create_app
from floorwright.web.desk import Options

NOW = dt.datetime(2026, 11, 25, 9, 30)
FORM_KEY = re.compile(r'name="form_key" value="([^"]+)"')


class StandingClock:
    """A clock that a test sets."""

    def __init__(self, moment: dt.datetime = NOW) -> None:
        self.moment = moment

    def now(self) -> dt.datetime:
        return self.moment


def built_demo(folder: Path) -> Path:
    """Build the demo shop under a folder and return where it lies."""
    build(folder, say=lambda _: None).close()
    return folder / "shop"


def copied(master: Path, folder: Path) -> Path:
    """A copy of a shop that nobody has open, for one test."""
    shutil.copytree(master, folder)
    return folder


class Person:
    """Somebody at a browser without scripts: follows links, sends forms with the key that the page holds.

    `address` is where they sit: this computer, unless a test says otherwise.
    """

    def __init__(self, shop: Shop, options: Options | None = None, *, address: str = "127.0.0.1") -> None:
        self.app = create_app(shop, options)
        self.client = self.at(address)

    def at(self, address: str, host: str = "127.0.0.1") -> TestClient:
        """Another browser, at another address."""
        return TestClient(
            self.app, base_url=f"http://{host}", client=(address, 50000), raise_server_exceptions=False
        )

    def get(self, path: str, status: int = 200, **more: Any) -> httpx.Response:
        """A page that must answer with this status."""
        found = self.client.get(path, **more)
        assert found.status_code == status, f"{path}: {found.status_code}\n{found.text[:2000]}"
        return found

    def key(self, path: str = "/about") -> str:
        """The form key that a page holds."""
        found = FORM_KEY.search(self.client.get(path).text)
        assert found is not None, f"{path} holds no form"
        return found.group(1)

    def send(
        self,
        path: str,
        fields: Mapping[str, Any] | None = None,
        *,
        page: str = "/about",
        status: int = 303,
        files: Any = None,
        follow: bool = False,
    ) -> httpx.Response:
        """Send a form with the key of a page; the answer must have this status."""
        data = dict(fields or {}) | {"form_key": self.key(page)}
        found = self.client.post(path, data=data, files=files, follow_redirects=follow)
        assert found.status_code == status, f"{path}: {found.status_code}\n{found.text[:3000]}"
        return found


def opened(folder: Path, clock: StandingClock | None = None) -> Shop:
    """A shop with the clock of the tests."""
    return bootstrap.open_shop(folder, clock=clock or StandingClock())


class Server:
    """`floorwright serve` in a process of its own, which a test may kill and start again at the same port."""

    def __init__(self, folder: Path, *arguments: str, python: str = sys.executable) -> None:
        self.folder = folder
        self._arguments = arguments
        self._python = python
        self._process: subprocess.Popen[str] | None = None
        self.port = free_port()
        self.lines: list[str] = []

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> Server:
        """Start it and wait until it answers."""
        environment = os.environ | {"FLOORWRIGHT_WHO": "Ines", "PYTHONUNBUFFERED": "1"}
        self._process = subprocess.Popen(
            [
                self._python,
                "-m",
                "floorwright",
                "serve",
                str(self.folder),
                "--port",
                str(self.port),
                *self._arguments,
            ],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            env=environment,
        )
        threading.Thread(target=self._read, args=(self._process,), daemon=True).start()
        end = time.monotonic() + 60
        while time.monotonic() < end:
            if self._process.poll() is not None:
                break
            try:
                httpx.get(f"{self.url}/about", timeout=5)
            except httpx.TransportError:
                time.sleep(0.05)
            else:
                return self
        raise AssertionError("the server did not start:\n" + "".join(self.lines))

    def _read(self, process: subprocess.Popen[str]) -> None:
        assert process.stdout is not None
        with process.stdout as output:
            self.lines.extend(output)

    def kill(self) -> None:
        """End it at once, as a power cut would."""
        if self._process is not None:
            self._process.kill()
            self._process.wait()
            self._process = None

    def stop(self) -> None:
        """End it as a person would."""
        if self._process is not None:
            self._process.terminate()
            try:
                self._process.wait(timeout=15)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait()
            self._process = None


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
