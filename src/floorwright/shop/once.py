"""A form that is sent twice makes one thing."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any, Final

from floorwright.basis.errors import ConflictError, InputError
from floorwright.basis.sentence import said
from floorwright.shop.ports import Author, Receipt, Shop
from floorwright.shop.together import together

_TRIES: Final = 5


def once(shop: Shop, key: str, content: Mapping[str, Any], author: Author, make: Callable[[Shop], int]) -> int:
    """What a form makes, stored with a receipt, both or neither; sent again it gives what it made the first time.

    Args:
        shop: the open shop.
        key: of the form, new each time it is opened.
        content: what was sent; the same key with other content is refused.
        author: who sends it.
        make: makes it in the shop that it is given, and returns its number.

    Raises:
        InputError: the form was sent before with other content, or what `make` finds wrong.
    """
    text = json.dumps(content, sort_keys=True, default=str)
    digest = hashlib.sha256(text.encode()).hexdigest()
    tries = 0
    while True:
        tries += 1
        try:
            with together(shop) as inside, inside.work() as work:
                receipt = work.received.find(key)
                if receipt is not None:
                    return _again(receipt, digest)
                number = make(inside)
                now, result = shop.clock.now(), {"number": number}
                work.received.keep(Receipt(key=key, digest=digest, at=now, who=author.who, result=result))
        except ConflictError:
            # Somebody else wrote in between, perhaps this very form: once more, with what stands now.
            if tries == _TRIES:
                raise
        else:
            return number


def _again(receipt: Receipt, digest: str) -> int:
    if receipt.digest != digest:
        raise InputError.of("", None, said("This form was sent before with other content; open it anew."))
    return int(receipt.result["number"])
