"""What every request needs: the open shop, how the app was started, and what has been worked out already."""

from __future__ import annotations

import hashlib
import os
import secrets
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Final

from fastapi import Request

from floorwright.shop.ports import Shop
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
    """

    hosts: frozenset[str] = LOOPBACK_HOSTS
    lan: bool = False
    port: int = 8020
    secure: bool = False
    lan_address: str = ""
    demo: bool = False
    here: str = "lead"

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
    """

    shop: Shop
    options: Options
    key: bytes = field(repr=False)
    teller: Teller


def desk(request: Request) -> Desk:
    """The desk of the app that a request came to."""
    found = request.app.state.desk
    assert isinstance(found, Desk)  # noqa: S101  set when the app is made
    return found


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
