"""Blanks laid out on sheets: nothing overlaps, nothing sticks out, and nothing that fits is ordered anew."""

from hypothesis import given
from hypothesis import strategies as st

from jobs.cutting import Blank, CutSheet, lay_out

sizes = st.tuples(st.floats(50, 1500), st.floats(50, 900))


@given(st.lists(sizes, max_size=12), st.integers(1, 3))
def test_pieces_lie_inside_their_sheet_and_never_overlap(blanks, count):
    sheets = [CutSheet(number, 2000, 1000) for number in range(count)]
    left_over = lay_out([Blank(i, *size) for i, size in enumerate(blanks)], sheets)

    assert sum(len(sheet.placed) for sheet in sheets) + len(left_over) == len(blanks)
    for sheet in sheets:
        pieces = [piece for _, piece in sheet.placed] + sheet.free
        assert sum(piece.area_mm2 for piece in pieces) <= 2000 * 1000 * (1 + 1e-9)
        for i, a in enumerate(pieces):
            assert a.x >= 0
            assert a.x + a.length_mm <= 2000 + 1e-6
            assert a.y >= 0
            assert a.y + a.width_mm <= 1000 + 1e-6
            for b in pieces[i + 1 :]:
                apart_x = a.x + a.length_mm <= b.x + 1e-6 or b.x + b.length_mm <= a.x + 1e-6
                apart_y = a.y + a.width_mm <= b.y + 1e-6 or b.y + b.width_mm <= a.y + 1e-6
                assert apart_x or apart_y


def test_a_rolling_direction_forbids_turning():
    tall = Blank("tall", 400, 1500)
    assert lay_out([tall], [CutSheet(1, 2000, 1000)]) == []
    fixed = Blank("fixed", 400, 1500, turnable=False)
    assert lay_out([fixed], [CutSheet(1, 2000, 1000)]) == [fixed]
