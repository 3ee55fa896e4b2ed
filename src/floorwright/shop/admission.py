"""Who may come in to a shop over its network: roles, paired devices, accounts, tokens, and what is kept of each.

None of these holds a secret: the store keeps digests of them beside, and hands a password's hash to `access` alone.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

Admitted = Literal["device", "account"]
"""What a session belongs to."""


class Role(StrEnum):
    """What somebody may do: a viewer reads, a recorder adds too, a lead does everything. Compared by reach."""

    VIEWER = "viewer"
    RECORDER = "recorder"
    LEAD = "lead"

    @property
    def reach(self) -> int:
        """The place among the roles, from 0."""
        return list(Role).index(self)

    # As text "lead" would come before "viewer"; every comparison is therefore by reach.
    def __lt__(self, other: str) -> bool:
        return self.reach < Role(other).reach

    def __le__(self, other: str) -> bool:
        return self.reach <= Role(other).reach

    def __gt__(self, other: str) -> bool:
        return self.reach > Role(other).reach

    def __ge__(self, other: str) -> bool:
        return self.reach >= Role(other).reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A phone or tablet that was paired with the shop, by whom and when; revoked for good or in use."""

    id: int
    name: str
    role: Role
    made_at: dt.datetime
    made_by: str
    revoked_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Somebody who signs in with a name and a password."""

    id: int
    name: str
    role: Role
    made_at: dt.datetime
    made_by: str
    disabled_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """A key for a program that reads or writes over HTTP. `seen_at` is when it was last used, to the minute."""

    id: int
    name: str
    role: Role
    made_at: dt.datetime
    made_by: str
    expires_at: dt.datetime
    seen_at: dt.datetime | None = None
    revoked_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A device or account that is signed in. `seen_at` is when it last asked for something, to the minute."""

    digest: str = field(repr=False)
    kind: Admitted
    owner: int
    made_at: dt.datetime
    seen_at: dt.datetime
    expires_at: dt.datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A pairing code as the shop keeps it: only its digest, for one use, until it expires.

    `wrong_tries` counts the wrong codes that were tried while this one was open.
    """

    digest: str = field(repr=False)
    role: Role
    made_at: dt.datetime
    made_by: str
    expires_at: dt.datetime
    wrong_tries: int = 0
    used_at: dt.datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempts:
    """Failed sign-ins under one name since the last that went well, and until when further ones are turned away."""

    failures: int = 0
    locked_until: dt.datetime | None = None
