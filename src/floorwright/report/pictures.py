"""The pictures of one document, as files for the typesetter."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

from floorwright.draw.picture import Picture

_KINDS: Final = ((b"\x89PNG\r\n\x1a\n", "png"), (b"\xff\xd8\xff", "jpg"))


class PictureError(ValueError):
    """A photo that is neither PNG nor JPEG reached the page; photos are re-encoded before they are stored."""


@dataclass(slots=True)
class Pictures:
    """Collects pictures under the names by which the template finds them."""

    files: dict[str, bytes] = field(default_factory=dict)

    def photo(self, image: bytes, where: str) -> str:
        """Add a photo; gives its file name."""
        for start, ending in _KINDS:
            if image.startswith(start):
                return self._add(image, ending)
        raise PictureError(
            f"the photo {where.lower()} the change is neither PNG nor JPEG: store it again as one of the two"
        )

    def drawing(self, picture: Picture) -> dict[str, Any]:
        """Add a drawing; gives its file name and its words."""
        return {"file": self._add(picture.svg.encode(), "svg"), "alt": picture.text}

    def _add(self, content: bytes, ending: str) -> str:
        name = f"picture-{len(self.files) + 1}.{ending}"
        self.files[name] = content
        return name
