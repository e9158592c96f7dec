"""Reading an uploaded photograph: proved to be one, turned upright, and stripped of where it was taken.

Nothing of the uploaded file itself is kept. The picture is decoded and written afresh, so that whatever else the
file carried (location, camera, comments, code) is gone.
"""

import datetime as dt
import io
import struct
import zlib
from dataclasses import dataclass
from functools import cache
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.files.base import File
from PIL import Image, ImageCms

LONGEST_SIDE = 3200
THUMBNAIL_SIDE = 640
QUALITY = 88
FORMATS = ["JPEG", "PNG", "WEBP", "HEIF"]
MAY_MOVE = {"PNG", "WEBP"}
# Colours that can be averaged as they stand; a palette or sixteen bits are converted first.
SHRINK_FIRST = {"RGB", "RGBA", "CMYK", "L"}
# What Pillow and the libraries under it raise for files that are cut off, forged or not pictures at all.
UNREADABLE = (
    OSError, SyntaxError, ValueError, TypeError, KeyError, IndexError, EOFError, OverflowError, RuntimeError,
    ZeroDivisionError, struct.error, zlib.error,
)  # fmt: skip

ORIENTATION, EXIF_BLOCK, TAKEN, TAKEN_OFFSET = 0x0112, 0x8769, 0x9003, 0x9011
# How a picture has to be turned for each value of the EXIF orientation; 1 is upright.
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
EARLIEST_YEAR = 1990  # a camera whose clock was never set says 1970 or 1980


class NotAPhoto(ValueError):
    """An upload that cannot be kept as a photograph; the text says why and what to send instead."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph as the shop keeps it: two upright sRGB JPEGs, and when it was taken where the file says so."""

    image: bytes
    thumbnail: bytes
    taken_at: dt.datetime | None


@cache
def know_heic() -> None:
    """Teach Pillow the format of phone photographs; asked for once, when the first photo arrives."""
    import pillow_heif

    pillow_heif.register_heif_opener()


def too_heavy() -> str:
    """What is said of a file over the limit."""
    return (
        f"The photo is over {settings.PHOTO_MAX_BYTES // 2**20} MB. "
        "Send a smaller one: most phones offer a medium size when you share a photo."
    )


def read_picture(upload: File, zone: ZoneInfo) -> Picture:
    """Decode an uploaded photograph and write it afresh.

    ``zone`` is the shop's own, for a date that the camera wrote without one. Raises :class:`NotAPhoto`.
    """
    if upload.size > settings.PHOTO_MAX_BYTES:
        raise NotAPhoto(too_heavy())
    image = _opened(upload)
    try:
        taken_at, turn = _taken_at(image, zone), _turn(image)
        if image.mode in SHRINK_FIRST:
            # All that follows copies the picture. A large JPEG is even decoded at a part of its size.
            image.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
        upright = _in_srgb(image if turn is None else image.transpose(turn))
    except UNREADABLE as error:
        raise NotAPhoto("The photo is cut off or damaged. Copy it from the camera or phone again.") from error
    return Picture(_jpeg(upright, LONGEST_SIDE), _jpeg(upright, THUMBNAIL_SIDE), taken_at)


def _opened(upload: File) -> Image.Image:
    """Read the header only, and refuse by it: no pixel of a picture that is too large is ever unpacked."""
    know_heic()
    upload.seek(0)
    try:
        image = Image.open(upload, formats=FORMATS)
        moves = image.format in MAY_MOVE and getattr(image, "is_animated", False)
    except Image.DecompressionBombError as error:
        raise NotAPhoto(_too_large()) from error
    except UNREADABLE as error:
        raise NotAPhoto(
            "This file is not a photo the book can read. Send JPEG, PNG, HEIC or WebP."
        ) from error
    if image.width * image.height > settings.PHOTO_MAX_PIXELS:
        raise NotAPhoto(_too_large())
    if moves:
        raise NotAPhoto("This is a moving picture. Send one still photo of it.")
    return image


def _too_large() -> str:
    return (
        f"The photo has more than {settings.PHOTO_MAX_PIXELS // 1_000_000} million pixels. "
        "Send it at a smaller size."
    )


def _in_srgb(image: Image.Image) -> Image.Image:
    """The picture in plain 8-bit RGB, on white where it was see-through, its colours those it was taken in."""
    profile = image.info.get("icc_profile")
    if image.mode.startswith("I"):
        # Sixteen bits: Pillow would cut everything over 255 off instead of scaling it down.
        image = image.point(lambda value: value * (1 / 256)).convert("L")
    if image.has_transparency_data:
        image = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image).convert("RGB")
    if image.mode == "P":
        image = image.convert("RGB")
    if profile and image.mode in {"RGB", "CMYK", "L"}:
        image = _converted(image, profile)
    image = image.convert("RGB")
    image.info.clear()
    return image


def _converted(image: Image.Image, profile: bytes) -> Image.Image:
    try:
        embedded = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return ImageCms.profileToProfile(image, embedded, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        return image  # a profile that is broken or for another kind of picture: the colours as they stand


def _jpeg(image: Image.Image, longest_side: int) -> bytes:
    if max(image.size) > longest_side:
        image = image.copy()
        image.thumbnail((longest_side, longest_side), Image.Resampling.LANCZOS)
    file = io.BytesIO()
    image.save(file, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return file.getvalue()


def _turn(image: Image.Image) -> Image.Transpose | None:
    """How to set the picture upright. HEIC is upright once decoded and says so."""
    try:
        return TURNS.get(image.getexif().get(ORIENTATION, 1))
    except UNREADABLE:
        return None  # a broken block of notes does not spoil the photo it came with


def _taken_at(image: Image.Image, zone: ZoneInfo) -> dt.datetime | None:
    """When the camera says, or nothing where it says nothing that can be true."""
    try:
        tags = image.getexif().get_ifd(EXIF_BLOCK)
        taken = dt.datetime.strptime(str(tags[TAKEN]).strip("\0 "), "%Y:%m:%d %H:%M:%S").replace(tzinfo=zone)
        if offset := str(tags.get(TAKEN_OFFSET, "")).strip("\0 "):
            taken = dt.datetime.strptime(f"{taken:%Y-%m-%d %H:%M:%S} {offset}", "%Y-%m-%d %H:%M:%S %z")
    except UNREADABLE:
        return None
    in_future = taken > dt.datetime.now(dt.UTC) + dt.timedelta(days=1)
    return None if in_future or taken.year < EARLIEST_YEAR else taken
