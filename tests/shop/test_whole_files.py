"""Files that are written whole, all of them or none."""

import os
from pathlib import Path

import pytest

from shop.whole_files import write_whole


def test_files_are_written_and_replaced_and_nothing_else_is_left(tmp_path):
    old, new = tmp_path / "old.svg", tmp_path / "new.dxf"
    old.write_bytes(b"before")
    old.chmod(0o640)
    write_whole({old: b"after", new: b"first"})
    assert (old.read_bytes(), new.read_bytes()) == (b"after", b"first")
    assert old.stat().st_mode & 0o777 == 0o640
    assert sorted(tmp_path.iterdir()) == [new, old]


def test_a_new_file_has_the_rights_that_any_new_file_gets(tmp_path):
    (tmp_path / "plain").write_bytes(b"")
    write_whole({tmp_path / "made": b""})
    assert (tmp_path / "made").stat().st_mode == (tmp_path / "plain").stat().st_mode


@pytest.mark.parametrize("bad", ["no/such/a.dxf", "folder", "full"])
def test_where_one_file_cannot_be_written_none_is_new_or_changed(tmp_path, bad):
    (tmp_path / "folder").mkdir()
    (tmp_path / "full").symlink_to("/dev/full")
    kept = tmp_path / "kept.svg"
    kept.write_bytes(b"before")
    before = sorted(tmp_path.iterdir())
    with pytest.raises(OSError, match=r"folder|space") as refusal:
        write_whole({kept: b"after", tmp_path / "new.pdf": b"new", tmp_path / bad: b"x" * 10_000})
    assert refusal.value.filename == str(tmp_path / bad)
    assert sorted(tmp_path.iterdir()) == before
    assert kept.read_bytes() == b"before"


def test_a_missing_folder_is_named(tmp_path):
    with pytest.raises(OSError, match="there is no folder") as refusal:
        write_whole({tmp_path / "no" / "a.svg": b""})
    assert str(tmp_path / "no") in refusal.value.strerror


def test_a_file_that_may_only_be_read_is_not_replaced(tmp_path, monkeypatch):
    """Root may write to anything, so the system's answer is given here."""
    kept = tmp_path / "kept.svg"
    kept.write_bytes(b"before")
    opened = Path.open

    def refused(path, mode="r", *rest, **more):
        if path == kept and set(mode) & set("wa+"):
            raise PermissionError(13, "Permission denied", str(path))
        return opened(path, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(PermissionError):
        write_whole({tmp_path / "new.svg": b"new", kept: b"after"})
    assert kept.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [kept]


def test_what_a_link_leads_to_is_replaced_and_the_link_stays(tmp_path):
    (tmp_path / "there.svg").write_bytes(b"before")
    (tmp_path / "here.svg").symlink_to("there.svg")
    write_whole({tmp_path / "here.svg": b"after"})
    assert (tmp_path / "here.svg").is_symlink()
    assert (tmp_path / "there.svg").read_bytes() == b"after"


def test_what_is_no_plain_file_is_written_to_and_stays():
    write_whole({Path(os.devnull): b"gone"})
    assert not Path(os.devnull).is_file()
