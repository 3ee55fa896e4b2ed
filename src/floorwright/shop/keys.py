"""Secrets that the shop hands out once, and what it keeps of them."""

from __future__ import annotations

import hashlib
import secrets
from typing import Final

# Neither digits nor letters that can be taken for one another on a dirty screen: no 0 O Q, 1 I L, 2 Z, 5 S, 6 G,
# 8 B, U V. Eight of the 21 that are left make 38 thousand million codes, for ten minutes and a handful of tries.
ALPHABET: Final = "ACDEFHJKMNPRTWXY34679"
CODE_LENGTH: Final = 8
TOKEN_START: Final = "fw_"  # noqa: S105  tells people and scanners what they have found


def new_code() -> str:
    """A pairing code."""
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


def new_secret() -> str:
    """A secret of 32 random bytes, fit for a cookie or a header."""
    return secrets.token_urlsafe(32)


def read_code(typed: str) -> str:
    """A pairing code as it was meant: any case, with or without blanks and dashes."""
    return "".join(character for character in typed.upper() if character.isalnum())


def digest_of(secret: str) -> str:
    """What is kept of a secret: its SHA-256 in hex."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
