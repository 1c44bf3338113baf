"""Pictures without what a camera wrote beside them: where it was, whose it is, a second picture.

Kept is what a picture needs to be drawn: its colours, and which side is up. Everything else goes, known or not, also
what lies behind the end of the picture. After the segments of ITU-T T.81, annex B, with the Exif orientation of
CIPA DC-008, and the chunks of the PNG specification (W3C, third edition), section 11.
"""

from __future__ import annotations

import struct

_JPEG, _PNG = b"\xff\xd8", b"\x89PNG\r\n\x1a\n"
_DAMAGED = "the photo is damaged: it ends before its picture does"
# JPEG markers, by their second byte.
_END, _SCAN, _EXIF = 0xD9, 0xDA, 0xE1
_ALONE = frozenset((0x01, *range(0xD0, 0xD8)))  # no length follows: TEM and the restarts
_APPLICATION = range(0xE0, 0xF0)
_COMMENT = 0xFE
# Of what applications write: sizes of dots, colour profiles, and how the colours are stored.
_KEPT = {0xE0: b"JFIF\0", 0xE2: b"ICC_PROFILE\0", 0xEE: b"Adobe"}
_ORIENTATION = 0x0112
_CHUNKS = frozenset(b"IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB cICP bKGD pHYs".split())


def cleaned(data: bytes) -> bytes:
    """A JPEG or PNG picture without its metadata. Raises ValueError for another kind, and for a damaged one."""
    try:
        if data.startswith(_JPEG):
            return _clean_jpeg(data)
        if data.startswith(_PNG):
            return _clean_png(data)
    except (struct.error, IndexError) as error:
        raise ValueError(_DAMAGED) from error
    raise ValueError("a photo must be a JPEG or PNG picture")


def _clean_jpeg(data: bytes) -> bytes:
    kept: list[bytes] = []
    orientation, at = 1, 2
    while True:
        if data[at] != 0xFF:
            raise ValueError(_DAMAGED)
        while data[at] == 0xFF:  # filling bytes may stand before a marker
            at += 1
        marker = data[at]
        at += 1
        if marker == _END:
            kept.append(b"\xff\xd9")
            break
        if marker in _ALONE:
            kept.append(bytes((0xFF, marker)))
            continue
        end = at + struct.unpack_from(">H", data, at)[0]
        if end > len(data) or end < at + 2:
            raise ValueError(_DAMAGED)
        body = data[at + 2 : end]
        if marker == _SCAN:
            end = _end_of_scan(data, end)
        elif marker == _EXIF:
            orientation = _orientation_of(body) or orientation
        if _is_kept(marker, body):
            kept.append(b"\xff" + bytes((marker,)) + data[at:end])
        at = end
    first = 1 if kept and kept[0][1] == 0xE0 else 0
    if orientation != 1:
        kept.insert(first, _exif_of(orientation))
    return _JPEG + b"".join(kept)


def _is_kept(marker: int, body: bytes) -> bool:
    if marker in _APPLICATION:
        return marker in _KEPT and body.startswith(_KEPT[marker])
    return marker != _COMMENT


def _end_of_scan(data: bytes, at: int) -> int:
    """Where the drawn data of a scan end: at the next marker that is neither a restart nor a stuffed 0xFF."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            raise ValueError(_DAMAGED)
        if data[at + 1] != 0 and data[at + 1] != 0xFF and data[at + 1] not in _ALONE:
            return at
        at += 1 if data[at + 1] == 0xFF else 2


def _orientation_of(body: bytes) -> int:
    """Which side is up, 1 to 8, by an Exif segment; 0 when it does not say."""
    if not body.startswith(b"Exif\0\0"):
        return 0
    tiff = body[6:]
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    try:
        if order is None:
            return 0
        (first,) = struct.unpack_from(f"{order}I", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, first)
        for entry in range(count):
            tag, kind, _, value = struct.unpack_from(f"{order}HHIH", tiff, first + 2 + 12 * entry)
            if tag == _ORIENTATION and kind == 3:
                return int(value) if 1 <= value <= 8 else 0
    except struct.error:
        return 0
    return 0


def _exif_of(orientation: int) -> bytes:
    """An Exif segment that says which side is up, and nothing else."""
    tiff = b"MM\0*" + struct.pack(">IHHHIHHI", 8, 1, _ORIENTATION, 3, 1, orientation, 0, 0)
    body = b"Exif\0\0" + tiff
    return b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body


def _clean_png(data: bytes) -> bytes:
    kept, at = [_PNG], len(_PNG)
    while True:
        length, name = struct.unpack_from(">I4s", data, at)
        end = at + 12 + length
        if end > len(data):
            raise ValueError(_DAMAGED)
        if name in _CHUNKS:
            kept.append(data[at:end])
        elif not name[0] & 0x20:
            raise ValueError("the photo is a PNG of an unknown kind")
        at = end
        if name == b"IEND":
            return b"".join(kept)
