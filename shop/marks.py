"""The shop's own mark, as it is printed beside the shop's name."""

from io import BytesIO

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from PIL import Image, UnidentifiedImageError

LONG_SIDE = 800  # pixels: sharp at 30 mm on a 600 dpi printer
MOST_PIXELS = 60_000_000


def as_mark(upload) -> ContentFile:
    """Re-encode an uploaded mark as a small PNG without anything else in it.

    Raises ``ValidationError`` for a file that is no picture or far too large.
    """
    try:
        image = Image.open(upload)
        if image.width * image.height > MOST_PIXELS:
            raise ValidationError("This picture is far too large for a mark. Use one of 800 pixels or so.")
        image = image.convert("RGBA")
    except (UnidentifiedImageError, OSError, Image.DecompressionBombError, SyntaxError) as error:
        raise ValidationError("This file is not a picture that can be read. Use a PNG or a JPEG.") from error
    image.thumbnail((LONG_SIDE, LONG_SIDE))
    out = BytesIO()
    image.save(out, "PNG", optimize=True)
    return ContentFile(out.getvalue(), name="mark.png")
