"""Photos of a cook: small pictures, kept in the store with the rest, without what a camera wrote beside them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from .photo_clean import cleaned
from .texts import check_text, limits

# The first bytes of each kind of picture.
_KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png"}


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture. data : JPEG or PNG, at most `photo_bytes` of data/limits.toml;  at : with a zone;  caption : may be ""

    Where it was taken, and whatever else stands beside the picture, is dropped: see `photo_clean`.
    id : None before it is stored. Raises ValueError for another kind, a larger or damaged one and a long caption.
    """

    data: bytes
    at: datetime
    caption: str = ""
    id: int | None = None

    def __post_init__(self) -> None:
        most = limits().photo_bytes
        if len(self.data) > most:
            raise ValueError(f"a photo must have at most {most / 2**20:g} MB")
        if not any(self.data.startswith(start) for start in _KINDS):
            raise ValueError("a photo must be a JPEG or PNG picture")
        check_text(self.caption, limits().caption_characters, "a caption")
        object.__setattr__(self, "data", cleaned(self.data))

    @property
    def media_type(self) -> str:
        """ "image/jpeg" or "image/png", by the first bytes."""
        return next(kind for start, kind in _KINDS.items() if self.data.startswith(start))


@dataclass(frozen=True, slots=True)
class PhotoLabel:
    """What is known of a stored photo without reading it. size : in bytes"""

    id: int
    at: datetime
    caption: str
    media_type: str
    size: int
