"""Files written whole, all of them or none: nobody cuts metal from half a pattern, or from one of an older panel."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4


def write_whole(contents: Mapping[Path, bytes]) -> None:
    """Write each file beside its place, and put them all in place once all of them stand.

    Raises ``OSError`` with the name of the file that cannot be written; then no file is new and none has changed,
    and no part of one is left. What is no plain file, such as a pipe, cannot be replaced and is written to directly.
    """
    parts: dict[Path, Path] = {}
    try:
        for path, content in contents.items():
            with _naming(path):
                _check_writable(path)
                if not _is_stream(path):
                    parts[path] = _part(_real(path), content)
        for path in contents.keys() - parts.keys():
            with _naming(path):
                path.write_bytes(contents[path])
        for path, part in parts.items():
            with _naming(path):
                os.replace(part, _real(path))
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)


def _check_writable(path: Path) -> None:
    """Raise ``OSError`` where a file could not be put in place; nothing is changed by looking."""
    if path.is_dir():
        raise OSError(errno.EISDIR, "this is a folder, and a file is wanted")
    if not _real(path).parent.is_dir():
        raise OSError(errno.ENOENT, f"there is no folder {_real(path).parent}")
    if path.is_file():
        # A replaced file would not mind that it may only be read.
        path.open("ab").close()


def _real(path: Path) -> Path:
    """Where a link leads, so that what it leads to is replaced and not the link."""
    return Path(os.path.realpath(path))


def _is_stream(path: Path) -> bool:
    return path.exists() and not path.is_file()


def _part(target: Path, content: bytes) -> Path:
    """Write the content beside its target, with the rights that the target has or a new file would get."""
    part = target.with_name(f".{uuid4().hex}.part")
    try:
        part.write_bytes(content)
        if target.exists():
            shutil.copymode(target, part)
    except OSError:
        part.unlink(missing_ok=True)
        raise
    return part


@contextmanager
def _naming(path: Path) -> Iterator[None]:
    """Give an error the name that was asked for, instead of that of a part nobody knows of."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error
