"""The check at the bench: everything within the drawing, the name on the card, figure and card apart."""

import itertools

import pytest

from jobs.drawings.check import gauge_check
from jobs.drawings.scene import Area, Path, Text, bounds, leaves
from jobs.forming import FORMS, Marking, Sheet, build, work_out

WITH_PASSES = [
    name
    for name, form in FORMS.items()
    if work_out(build(name, {one.name: one.example for one in form.dimensions}), Sheet(1.6), Marking()).passes
]


def drawn(form, number, mirrored=False, figure="1024.5 mm"):
    given = {one.name: one.example for one in FORMS[form].dimensions}
    work = work_out(build(form, given), Sheet(1.6), Marking(line_count=5))
    return gauge_check(
        work, number, figure=figure, words="edge length", remark="gauge 67.5°", mirrored=mirrored
    )


@pytest.mark.parametrize("form", WITH_PASSES)
@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("number", [1, 3, 5])
@pytest.mark.parametrize("figure", ["90°", "1024.5 mm", "1\u2009024.5 mm", "40 31/32 in"])
def test_nothing_leaves_the_drawing_or_lies_on_something_else(form, mirrored, number, figure):
    scene = drawn(form, number, mirrored, figure)
    parts = list(leaves(scene.items))
    card = next(bounds(one.runs) for one in parts if isinstance(one, Area))
    texts = [one for one in parts if isinstance(one, Text)]
    for box in [
        card,
        *(one.box() for one in texts),
        *(bounds(one.runs) for one in parts if isinstance(one, Path)),
    ]:
        assert box.left >= 0
        assert box.top >= 0
        assert box.right <= scene.width
        assert box.bottom <= scene.height
    name, *figures = sorted(texts, key=lambda one: not one.text.startswith("gauge " + str(number)))
    box = name.box()
    assert card.left <= box.left
    assert box.right <= card.right
    for one, two in itertools.combinations([text.box() for text in texts], 2):
        across = one.right <= two.left or two.right <= one.left
        assert across or one.bottom <= two.top or two.bottom <= one.top
    for one in figures:
        other = one.box()
        apart = other.left >= card.right or other.right <= card.left or other.top >= card.bottom
        assert apart, one.text


def test_the_other_hand_is_the_mirror_image():
    first, second = (
        next(bounds(one.runs) for one in leaves(drawn("arch", 3, mirrored).items) if isinstance(one, Area))
        for mirrored in (False, True)
    )
    assert first.right - first.left == pytest.approx(second.right - second.left)
    assert first.left != pytest.approx(second.left)


def test_a_pass_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="no pass 9"):
        drawn("arch", 9)
