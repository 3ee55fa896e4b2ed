"""What every request needs: the open shop, how the app was started, and what has been worked out already."""

from __future__ import annotations

import hashlib
import os
import secrets
import threading
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Final

from fastapi import Request

from floorwright.bootstrap import workplace
from floorwright.shop.here import name_here
from floorwright.shop.ports import Shop
from floorwright.web.jobs import Jobs
from floorwright.web.ready import Ready
from floorwright.web.teller import Teller

KEY_FILE: Final = "web.key"
LOOPBACK_HOSTS: Final = frozenset({"127.0.0.1", "localhost", "::1"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """How the app was started.

    Attributes:
        hosts: host names and addresses under which it may be called.
        lan: whether it listens beyond this computer.
        port: the port it listens on.
        secure: whether it speaks HTTPS.
        lan_address: the address that phones use; "" without `lan`.
        demo: whether the shop is the demo.
        here: name of the person at this computer.
        everyone_signs_in: whether also somebody at this computer has to sign in.
    """

    hosts: frozenset[str] = LOOPBACK_HOSTS
    lan: bool = False
    port: int = 8020
    secure: bool = False
    lan_address: str = ""
    demo: bool = False
    here: str = "lead"
    everyone_signs_in: bool = False

    @property
    def base_url(self) -> str:
        """Where another device finds the app; this computer's own address without `lan`."""
        host = self.lan_address or "127.0.0.1"
        host = f"[{host}]" if ":" in host else host
        usual = 443 if self.secure else 80
        port = "" if self.port == usual else f":{self.port}"
        return f"{'https' if self.secure else 'http'}://{host}{port}"


@dataclass(slots=True, kw_only=True)
class Desk:
    """The open shop and what the app keeps beside it.

    Attributes:
        shop: the open shop.
        options: how the app was started.
        key: signs forms and cookies; kept in the shop's folder, so that a phone's forms outlive a restart.
        teller: stories that have been worked out.
        ready: backups that lie ready to be fetched or restored.
        jobs: long work behind a page; each job is at this desk like a request until it is over.
        own: whether the app opened the shop itself and closes it when it ends.
    """

    shop: Shop
    options: Options
    key: bytes = field(repr=False)
    teller: Teller
    ready: Ready
    own: bool = False
    jobs: Jobs = field(init=False)
    _requests: int = 0
    _left: bool = False
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    def __post_init__(self) -> None:
        self.jobs = Jobs(enter=self.enter, leave=self.leave)

    def enter(self) -> None:
        """A request begins that stays at this desk until it is answered."""
        with self._lock:
            self._requests += 1

    def leave(self) -> None:
        """A request is answered; the last one at a desk that was left closes its shop."""
        with self._lock:
            self._requests -= 1
            over = self._left and self._requests == 0
        if over:
            self._close()

    def give_up(self) -> None:
        """The app has gone over to another desk: close the shop as soon as nobody is at this one."""
        with self._lock:
            over = not self._left and self._requests == 0
            self._left = True
        if over:
            self._close()

    def _close(self) -> None:
        # Work in the background may take seconds to end; nobody waits for it here.
        threading.Thread(target=self._end, name="closing a shop").start()

    def _end(self) -> None:
        self.end()
        self.shop.close()

    def end(self) -> None:
        """Let the background work end and clear away what lay ready."""
        self.jobs.end()
        self.teller.stop()
        self.ready.clear()


DESK: Final = "floorwright.desk"
"""Where a request carries its desk, so that it sees one shop from beginning to end."""


def desk(request: Request) -> Desk:
    """The desk of the app that a request came to."""
    found = request.scope.get(DESK) or request.app.state.desk
    assert isinstance(found, Desk)  # noqa: S101  set when the app is made
    return found


def new_desk(shop: Shop, options: Options, *, own: bool = False) -> Desk:
    """A desk for an open shop."""
    return Desk(
        shop=shop,
        options=options,
        key=key_of(shop.folder),
        teller=Teller(shop),
        ready=Ready(lambda: workplace(shop)),
        own=own,
    )


def switch_shop(request: Request, shop: Shop, *, demo: bool) -> None:
    """Serve another shop from the next request on; the one before is closed when nobody is at it any more."""
    before = request.app.state.desk
    options = replace(before.options, demo=demo, here=name_here(shop) or before.options.here)
    request.app.state.desk = new_desk(shop, options, own=True)
    before.give_up()


def rename_here(request: Request, name: str) -> None:
    """Let the person at this computer have another name."""
    at = desk(request)
    at.options = replace(at.options, here=name)


def key_of(folder: Path) -> bytes:
    """The key of a shop's app, made at its first start. Only its owner can read it; no backup holds it."""
    path = folder / KEY_FILE
    try:
        held = path.read_bytes()
    except FileNotFoundError:
        held = b""
    if len(held) >= 32:
        return held
    made = secrets.token_bytes(32)
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(made)
    return made


@cache
def assets_version() -> str:
    """A short name for the state of all assets, so that a browser may keep each of them for good."""
    digest = hashlib.sha256()
    root = static_folder()
    for path in sorted(each for each in root.rglob("*") if each.is_file()):
        digest.update(path.relative_to(root).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def static_folder() -> Path:
    """Where the app's assets lie in the package."""
    return Path(str(files("floorwright.web"))) / "static"
