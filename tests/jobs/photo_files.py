"""Real photograph files, made here: what a phone, a scanner and a mischief-maker would send."""

import io
import struct
import zlib

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

CORNER = (200, 20, 20)  # the mark in the picture's upper left corner, by which a turn is seen
GROUND = (30, 80, 160)


def picture(size=(120, 80), mode="RGB", corner=CORNER, ground=GROUND) -> Image.Image:
    """An upright picture with a mark in its upper left quarter."""
    image = Image.new("RGB", size, ground)
    image.paste(corner, (0, 0, size[0] // 2, size[1] // 2))
    return image.convert(mode)


def saved(image: Image.Image, file_format: str = "JPEG", **options) -> bytes:
    file = io.BytesIO()
    image.save(file, file_format, **options)
    return file.getvalue()


def upload(data: bytes, name: str = "IMG_0001.jpg", content_type: str = "image/jpeg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, content_type)


def jpeg_upload(name: str = "IMG_0001.jpg", **options) -> SimpleUploadedFile:
    return upload(saved(picture(**options)), name)


def exif(orientation: int = 1, taken: str = "", offset: str = "", place: bool = False) -> Image.Exif:
    """The notes a camera writes; ``place`` adds where it stood."""
    notes = Image.Exif()
    notes[0x0112] = orientation
    notes[0x010F] = "Invented Camera Works"
    block = notes.get_ifd(0x8769)
    if taken:
        block[0x9003] = taken
    if offset:
        block[0x9011] = offset
    if place:
        block = notes.get_ifd(0x8825)
        block.update({1: "N", 2: (53.0, 20.0, 33.5), 3: "W", 4: (6.0, 15.0, 41.25)})
    return notes


def png_header_of(width: int, height: int) -> bytes:
    """A PNG that says it is ``width`` × ``height`` and holds next to nothing."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 100))
        + chunk(b"IEND", b"")
    )
