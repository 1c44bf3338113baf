"""Photos lose what a camera wrote beside them, and keep their picture: judged by Pillow, a general library."""

from __future__ import annotations

import contextlib
import io
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ExifTags, Image, ImageOps
from PIL.PngImagePlugin import PngInfo

from corebath.log.photo import Photo
from corebath.log.photo_clean import cleaned

_SECRET = b"48.8583, 2.2945 by somebody"


def _picture(mode: str = "RGB") -> Image.Image:
    made = Image.new("RGB", (24, 16))
    made.putdata([(x * 10, y * 15, (x * y) % 256) for y in range(16) for x in range(24)])
    return made.convert(mode)


def _located(orientation: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Artist] = _SECRET.decode()
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef], place[ExifTags.GPS.GPSLatitude] = "N", (48.0, 51.0, 29.9)
    return exif


def _jpeg(orientation: int = 1, mode: str = "RGB", **options: object) -> bytes:
    out = io.BytesIO()
    _picture(mode).save(
        out, "JPEG", exif=_located(orientation), comment=_SECRET, xmp=b"<x>" + _SECRET + b"</x>", **options
    )
    return out.getvalue()


def _png(mode: str = "RGB", **options: object) -> bytes:
    told = PngInfo()
    told.add_text("Author", _SECRET.decode())
    told.add_itxt("XML:com.adobe.xmp", _SECRET.decode())
    told.add_text("Comment", _SECRET.decode(), zip=True)
    out = io.BytesIO()
    _picture(mode).save(out, "PNG", exif=_located(), pnginfo=told, **options)
    return out.getvalue()


@pytest.mark.parametrize("mode", ["RGB", "L", "CMYK"])
@pytest.mark.parametrize("options", [{}, {"progressive": True}, {"quality": 100, "restart_marker_blocks": 1}])
def test_a_jpeg_keeps_its_picture_and_loses_the_rest(mode: str, options: dict[str, object]) -> None:
    sent = _jpeg(6, mode, **options)
    assert _SECRET in sent
    kept = cleaned(sent + b"\xff\xe1behind the end: " + _SECRET)
    assert _SECRET not in kept
    seen = Image.open(io.BytesIO(kept))
    assert seen.tobytes() == Image.open(io.BytesIO(sent)).tobytes()
    assert dict(seen.getexif()) == {ExifTags.Base.Orientation: 6}
    assert not seen.getexif().get_ifd(ExifTags.IFD.GPSInfo)
    assert "comment" not in seen.info
    assert "xmp" not in seen.info


@pytest.mark.parametrize("orientation", range(1, 9))
def test_what_is_up_stays_up(orientation: int) -> None:
    sent = _jpeg(orientation)
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(sent)))
    assert ImageOps.exif_transpose(Image.open(io.BytesIO(cleaned(sent)))).tobytes() == upright.tobytes()


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "P", "1"])
def test_a_png_keeps_its_picture_and_loses_the_rest(mode: str) -> None:
    sent = _png(mode, dpi=(72, 72))
    assert _SECRET in sent
    kept = cleaned(sent + _SECRET)
    seen, was = Image.open(io.BytesIO(kept)), Image.open(io.BytesIO(sent))
    assert seen.convert("RGBA").tobytes() == was.convert("RGBA").tobytes()
    assert _SECRET not in kept
    assert not seen.getexif()
    assert set(seen.info) <= {"dpi", "transparency"}


def test_colours_keep_their_profile() -> None:
    profile = b"a profile of colours" * 10
    for sent in (_jpeg(icc_profile=profile), _png(icc_profile=profile)):
        assert Image.open(io.BytesIO(cleaned(sent))).info["icc_profile"] == profile


def test_cleaning_twice_changes_nothing() -> None:
    for sent in (_jpeg(3), _jpeg(1), _png()):
        assert cleaned(cleaned(sent)) == cleaned(sent)


def test_a_photo_is_clean_however_it_comes() -> None:
    assert Photo(_jpeg(8), datetime(2027, 3, 12, tzinfo=UTC)).data == cleaned(_jpeg(8))


@pytest.mark.parametrize("sent", [_jpeg(6), _png()], ids=["jpeg", "png"])
def test_a_picture_that_is_cut_off_is_refused(sent: bytes) -> None:
    end = len(sent)
    for cut in (3, 10, end // 3, end // 2, end - 30, end - 1):
        with pytest.raises(ValueError, match="photo"):
            cleaned(sent[:cut])


@given(st.binary(max_size=300), st.sampled_from([b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b""]))
def test_nothing_else_breaks_it(noise: bytes, start: bytes) -> None:
    with contextlib.suppress(ValueError):
        kept = cleaned(start + noise)
        assert cleaned(kept) == kept
