"""What a user does with a photo: add it, mark what to look at, mask faces and drawings, remove it for good."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any, Final, Literal

from floorwright.basis.errors import AccessError, ConflictError, InputError, NotFoundError
from floorwright.basis.sentence import said, said_n
from floorwright.shop.admission import Role
from floorwright.shop.filed import Filed, checked, file_change, load, load_all
from floorwright.shop.ports import Author, Box, Shop, UnitOfWork
from floorwright.shop.records import Improvement, Mark, Photo

MASKED_BY_RECORDER: Final = 0.5
"""Share of a photo that a recorder may black out, all boxes together: faces and drawings, not the photo itself."""
_MASKS: Final = ("shop", "masks")


def add_photo(
    shop: Shop,
    improvement_id: int,
    data: bytes,
    author: Author,
    *,
    name: str = "",
    moment: Literal["before", "after", "other"] = "other",
    caption: str = "",
    taken_on: dt.date | None = None,
    marks: Sequence[Mark] = (),
) -> str:
    """Store a photo with an improvement and return its hash.

    Raises:
        InputError: no usable picture.
        NotFoundError: no such improvement.
    """
    with shop.work() as work:
        old = load(work, Improvement, improvement_id)
        hash_ = shop.photos.add(data, name)
        drawn = marks or next((each.marks for each in old.record.photos if each.hash == hash_), ())
        photo = Photo(hash=hash_, moment=moment, caption=caption, taken_on=taken_on, marks=tuple(drawn))
        others = tuple(each for each in old.record.photos if each.hash != hash_)
        record = old.record.model_copy(update={"photos": (*others, photo)})
        file_change(work, old, record, author, shop.clock.now(), f"photo added: {caption or name or moment}")
        work.commit()
    return hash_


def mark_photo(
    shop: Shop,
    improvement_id: int,
    hash_: str,
    marks: Sequence[Mark | Mapping[str, Any]],
    author: Author,
    *,
    held: Sequence[Mark] | None = None,
) -> Filed[Improvement]:
    """Draw these marks over a photo of an improvement, in place of those it had; the photo stays as it is.

    Args:
        shop: the open shop.
        improvement_id: number of the improvement.
        hash_: of the photo.
        marks: what is drawn now.
        author: who draws.
        held: the marks that the author saw; another person's since then are a conflict. None: whatever is there.

    Raises:
        InputError: a mark that cannot be drawn, or too many.
        ConflictError: somebody else drew meanwhile.
        NotFoundError: no such improvement, or one without this photo.
    """
    with shop.work() as work:
        old = load(work, Improvement, improvement_id)
        photo = next((each for each in old.record.photos if each.hash == hash_), None)
        if photo is None:
            raise NotFoundError(
                said(
                    "Improvement {improvement_id} shows no photo {hash}; read it again.",
                    improvement_id=improvement_id,
                    hash=hash_[:12],
                )
            )
        if held is not None and tuple(held) != photo.marks:
            raise ConflictError(
                said("Somebody else drew on this photo meanwhile; look at it, then draw yours again.")
            )
        plain = [mark.model_dump(mode="json") if isinstance(mark, Mark) else dict(mark) for mark in marks]
        marked = checked(Photo, photo.model_dump(mode="json") | {"marks": plain})
        photos = tuple(marked if each.hash == hash_ else each for each in old.record.photos)
        record = old.record.model_copy(update={"photos": photos})
        what = "marks drawn on a photo" if plain else "marks taken off a photo"
        filed = file_change(work, old, record, author, shop.clock.now(), what)
        work.commit()
    return filed


def mask_photo(shop: Shop, hash_: str, boxes: Sequence[Box], author: Author, *, role: Role = Role.LEAD) -> str:
    """Black out rectangles of a photo for good; every improvement that shows it then shows the masked one.

    Nobody can bring back what was under them, so whoever is no lead may black out a part of a photo only, counted
    with what was blacked out before.

    Raises:
        InputError: a box that is not inside the photo.
        AccessError: too much of the photo for this role.
        NotFoundError: no such photo.
    """
    if not boxes:
        raise InputError.of(
            "box", None, said("is missing; give left,top,right,bottom as fractions such as 0.4,0.1,0.6,0.3")
        )
    for box in boxes:
        if not (0 <= box.left < box.right <= 1 and 0 <= box.top < box.bottom <= 1):
            raise InputError.of(
                "box", str(box), said("should be left,top,right,bottom as fractions between 0 and 1")
            )
    with shop.work() as work:
        users = _users(load_all(work, Improvement), hash_)
        every = [*_masks_of(work, hash_), *boxes]
        share = covered(every)
        if role < Role.LEAD and share > MASKED_BY_RECORDER:
            raise AccessError(
                said(
                    "That would black out {share} % of the photo for good; a recorder may black out {most} % "
                    "in all: draw smaller boxes, or ask the lead.",
                    share=f"{100 * share:.0f}",
                    most=f"{100 * MASKED_BY_RECORDER:.0f}",
                ),
                known=True,
            )
        work.keepsakes.remove(*_MASKS, hash_)  # takes the write lock: only then is the photo itself touched
        masked = shop.photos.mask(hash_, boxes)
        body = {"boxes": [[box.left, box.top, box.right, box.bottom] for box in every]}
        work.keepsakes.put(*_MASKS, masked, body, shop.clock.now())
        for old in users:
            photos = tuple(
                each.model_copy(update={"hash": masked}) if each.hash == hash_ else each
                for each in old.record.photos
            )
            record = old.record.model_copy(update={"photos": photos})
            file_change(work, old, record, author, shop.clock.now(), "photo masked; the unmasked one is gone")
        work.commit()
    return masked


def covered(boxes: Sequence[Box]) -> float:
    """The share of a picture that boxes cover together, 0 to 1; what two of them cover counts once."""
    across = sorted({end for box in boxes for end in (box.left, box.right)})
    down = sorted({end for box in boxes for end in (box.top, box.bottom)})
    return sum(
        (right - left) * (bottom - top)
        for left, right in pairwise(across)
        for top, bottom in pairwise(down)
        if any(box.left <= left and right <= box.right and box.top <= top and bottom <= box.bottom for box in boxes)
    )


def _masks_of(work: UnitOfWork, hash_: str) -> list[Box]:
    """What was blacked out of a photo so far."""
    held = work.keepsakes.get(*_MASKS, hash_)
    return [Box(*each) for each in held["boxes"]] if held is not None else []


def remove_photo(shop: Shop, hash_: str, author: Author, reason: str = "") -> int:
    """Remove a photo for good, here and wherever it is shown. Returns the number of improvements that showed it.

    Raises:
        NotFoundError: no such photo.
    """
    with shop.work() as work:
        users = _users(load_all(work, Improvement), hash_)
        if not users and hash_ not in shop.photos.hashes():
            raise NotFoundError(
                said("the shop has no photo {hash}; see floorwright improvement show", hash=hash_[:12])
            )
        for old in users:
            record = old.record.model_copy(
                update={"photos": tuple(each for each in old.record.photos if each.hash != hash_)}
            )
            file_change(
                work, old, record, author, shop.clock.now(), f"photo removed for good: {reason or 'no reason'}"
            )
        work.commit()
    if hash_ in shop.photos.hashes():
        shop.photos.remove(hash_)
    return len(users)


def find_photo(shop: Shop, start: str) -> str:
    """The one photo whose hash begins with these digits. Raises NotFoundError."""
    found = sorted(each for each in shop.photos.hashes() if start and each.startswith(start.lower()))
    if len(found) != 1:
        raise NotFoundError(
            said_n(
                "{n} photo begins with '{start}'; give more digits of its number as improvement show prints it",
                "{n} photos begin with '{start}'; give more digits of its number as improvement show prints it",
                len(found),
                start=start,
            )
            if found
            else said("no photo begins with '{start}'; take its number as improvement show prints it", start=start)
        )
    return found[0]


def _users(improvements: Sequence[Filed[Improvement]], hash_: str) -> list[Filed[Improvement]]:
    return [each for each in improvements if any(photo.hash == hash_ for photo in each.record.photos)]
