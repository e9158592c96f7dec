"""The whole shop as one archive: every table and every photo, streamed."""

import io
import zipfile
from collections.abc import Iterable, Iterator

from django.utils import timezone

from estimates.exports.tables import EXPORTS, ROWS_AT_ONCE, csv_lines, photo_name
from jobs.models import Photo
from jobs.photos import open_photo
from shop.models import Shop

CHUNK = 64 * 1024


def archive(shop: Shop) -> Iterator[bytes]:
    """The whole shop as one zip file, in pieces: every subject as CSV, every photo, and what the files are.

    Memory holds one piece, not the file. A photo that is lost is named in ``missing.txt``.
    """
    sink = _Sink()
    missing: list[str] = []
    with zipfile.ZipFile(sink, "w", allowZip64=True) as made:
        made.writestr("read-me.txt", _read_me(shop), zipfile.ZIP_DEFLATED)
        for export in EXPORTS.values():
            yield from _member(
                made, sink, f"{export.key}.csv", (line.encode() for line in csv_lines(export)), packed=True
            )
        for photo in Photo.objects.select_related("job").order_by("pk").iterator(ROWS_AT_ONCE):
            try:
                file = open_photo(photo)
            except OSError:
                missing.append(photo_name(photo))
                continue
            with file:
                yield from _member(made, sink, photo_name(photo), file.chunks(CHUNK), packed=False)
        if missing:
            made.writestr("missing.txt", "\r\n".join(["These photos could not be read:", *missing, ""]))
    yield sink.take()


def _member(
    made: zipfile.ZipFile, sink: "_Sink", name: str, pieces: Iterable[bytes], *, packed: bool
) -> Iterator[bytes]:
    member = zipfile.ZipInfo(name, timezone.localtime().timetuple()[:6])
    member.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    with made.open(member, "w") as file:
        for piece in pieces:
            file.write(piece)
            if sink.size >= CHUNK:
                yield sink.take()
    if sink.size:
        yield sink.take()


class _Sink(io.RawIOBase):
    """Where the archive is written to: it cannot be wound back, and gives away what it holds."""

    def __init__(self) -> None:
        super().__init__()
        self._pieces: list[bytes] = []
        self.size = 0

    def writable(self) -> bool:
        return True

    def write(self, data) -> int:
        piece = bytes(data)
        self._pieces.append(piece)
        self.size += len(piece)
        return len(piece)

    def take(self) -> bytes:
        whole, self._pieces, self.size = b"".join(self._pieces), [], 0
        return whole


def _read_me(shop: Shop) -> str:
    now = timezone.localtime()
    said = [
        f"The book of {shop.name}, {now:%Y-%m-%d %H:%M}.",
        "CSV files are UTF-8 with a byte order mark; commas between fields; the name of a column carries its unit.",
        f"Amounts are in {shop.currency}. Angles of readings are in radians.",
        "A text that a spreadsheet would run as a formula has an apostrophe in front.",
        "",
        *(f"{export.key}.csv: {export.words}." for export in EXPORTS.values()),
        "photos/: the photos, a folder a job; photos.csv says what each shows.",
    ]
    return "\r\n".join(said) + "\r\n"
