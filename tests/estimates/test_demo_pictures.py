"""The demo's bench pictures: repeatable, different where they should be, refused where there is none."""

import io
from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from PIL import Image

from estimates.demo import pictures

SMALL = (160, 120)


def middle(image: Image.Image) -> np.ndarray:
    """Return the mean colour of the middle third, where the work lies."""
    wide, high = image.size
    return np.asarray(image)[high // 3 : -high // 3, wide // 3 : -wide // 3].reshape(-1, 3).mean(axis=0)


@pytest.mark.parametrize("subject", pictures.SUBJECTS)
def test_every_subject_lies_on_the_bench(subject):
    stage = pictures.stages_of(subject)[-1]
    image = pictures.picture(subject, stage, moment="after", size=SMALL)
    assert image.mode == "RGB"
    assert image.size == SMALL
    cells = np.asarray(image).astype(float).mean(axis=2)
    corners = np.concatenate([cells[:12, :16], cells[-12:, -16:]]).mean()
    assert cells[30:90, 40:120].max() > corners + 60
    assert corners < 90


def test_the_same_call_gives_the_same_picture_and_another_seed_another():
    first, again, other = (pictures.picture("dome", "gathering", seed=seed, size=SMALL) for seed in (3, 3, 4))
    assert first.tobytes() == again.tobytes()
    assert first.tobytes() != other.tobytes()


def test_the_moments_of_a_stage_differ_in_more_than_grain():
    views = (pictures.picture("sweep", "gathering", moment=moment, size=SMALL) for moment in pictures.MOMENTS)
    seen = [np.asarray(view).astype(int) for view in views]
    for i, j in ((0, 1), (0, 2), (1, 2)):
        assert np.abs(seen[i] - seen[j]).mean() > 8


def test_copper_is_redder_than_zinc():
    red, _, blue = middle(pictures.picture("dome", "smoothing", moment="after", size=SMALL))
    zinc_red, _, zinc_blue = middle(
        pictures.picture("dome", "smoothing", moment="after", metal="zinc", size=SMALL)
    )
    assert red > 1.4 * blue
    assert zinc_red < 1.2 * zinc_blue


def test_layout_dye_turns_the_cut_blank_blue():
    bare = middle(pictures.picture("tray", "layout", moment="before", metal="steel", size=SMALL))
    dyed = np.asarray(pictures.picture("dome", "layout", moment="after", metal="steel", size=SMALL)).astype(
        int
    )
    assert (dyed[..., 2] - dyed[..., 0] > 25).mean() > 0.1
    assert bare[2] - bare[0] < 25


def test_the_file_says_when_it_was_taken():
    taken = datetime(2026, 5, 13, 16, 40, tzinfo=timezone(timedelta(hours=2)))
    file = pictures.jpeg("dome", "blending", moment="so-far", taken=taken, size=SMALL)
    image = Image.open(io.BytesIO(file))
    exif = image.getexif().get_ifd(0x8769)
    assert image.format == "JPEG"
    assert exif[0x9003] == "2026:05:13 16:40:00"
    assert exif[0x9011] == "+02:00"


def test_a_time_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="needs its zone"):
        pictures.jpeg(
            "dome", "blending", taken=datetime(2026, 5, 13, tzinfo=UTC).replace(tzinfo=None), size=SMALL
        )


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ({"subject": "cone", "stage": "layout"}, "there is dome, sweep"),
        ({"subject": "dome", "stage": "welding"}, "layout, gathering, blending, smoothing"),
        (
            {"subject": "pattern", "stage": "smoothing"},
            "stage of a pattern called 'smoothing'; there is layout",
        ),
        ({"subject": "dome", "stage": "layout", "metal": "gold"}, "copper, aluminium"),
        ({"subject": "dome", "stage": "layout", "moment": "later"}, "before, after, so-far"),
        ({"subject": "dome", "stage": "layout", "size": (10, 900)}, "64 to 4000"),
    ],
)
def test_what_there_is_none_of_is_refused_by_name(asked, names):
    with pytest.raises(ValueError, match=names):
        pictures.picture(**asked)
