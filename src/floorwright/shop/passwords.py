"""Passwords: which ones do, and their hashes by argon2id with the settings that its library recommends."""

from __future__ import annotations

import secrets
import unicodedata
from collections.abc import Iterator
from functools import cache
from threading import BoundedSemaphore
from typing import TYPE_CHECKING, Final

from floorwright.basis.errors import Problem
from floorwright.basis.sentence import said

if TYPE_CHECKING:
    from argon2 import PasswordHasher

SHORTEST: Final = 10
LONGEST: Final = 500
_FEWEST_DIFFERENT: Final = 4
# A hash takes 64 MB and a tenth of a second on purpose; many at once would starve a shop laptop.
_AT_ONCE: Final = BoundedSemaphore(2)


def problems_with(password: str, name: str) -> Iterator[Problem]:
    """What is wrong with a password that somebody of this name chose. The password is in none of the problems."""
    if len(password) < SHORTEST:
        yield Problem(
            "password",
            None,
            said("is too short; take {least} characters or more, such as a few words", least=SHORTEST),
        )
    elif len(password) > LONGEST:
        yield Problem("password", None, said("is too long; at most {most} characters fit", most=LONGEST))
    elif password.strip().casefold() == name.strip().casefold():
        yield Problem("password", None, said("is the name itself; take another"))
    elif len(set(password)) < _FEWEST_DIFFERENT:
        yield Problem("password", None, said("repeats the same few characters; take a few words"))


def hash_password(password: str) -> str:
    """The hash to keep of a password."""
    with _AT_ONCE:
        return _hasher().hash(_plain(password))


def fits(held: str | None, password: str) -> bool:
    """Whether a password is the one whose hash is held; None, for nobody's, takes the same time and is False."""
    from argon2.exceptions import VerifyMismatchError

    nobody = _nobody()
    with _AT_ONCE:
        try:
            _hasher().verify(held or nobody, _plain(password))
        except VerifyMismatchError:
            return False
    return held is not None


def is_dated(held: str) -> bool:
    """Whether a hash was made with weaker settings than today's."""
    return _hasher().check_needs_rehash(held)


@cache
def _hasher() -> PasswordHasher:
    from argon2 import PasswordHasher

    return PasswordHasher()


@cache
def _nobody() -> str:
    return hash_password(secrets.token_urlsafe())


def _plain(password: str) -> bytes:
    # Keyboards differ in how they put an accent on a letter.
    return unicodedata.normalize("NFKC", password).encode("utf-8", "surrogatepass")
