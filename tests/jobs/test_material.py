"""Metal out of the stock: what fits, what comes back, what it costs."""

from decimal import Decimal
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.material import AlreadyBooked, MaterialRefused, share_cost, take_back, use_sheet
from jobs.models import Job, MaterialUse, Panel
from jobs.rack import Size, both_fit, sorted_by_fit, what_is_left
from jobs.sheet_choice import cut_for
from jobs.standing_of_stage import metal_cost
from shop.models import SheetStock

SIZES = st.floats(1, 5000)


def drop(metal, length, width, **more):
    given = {"kind": SheetStock.Kind.DROP, "thickness_mm": 1.6, "cost": Decimal("10")} | more
    return SheetStock.objects.create(metal=metal, length_mm=length, width_mm=width, **given)


def test_the_drop_comes_back_with_its_share_of_the_cost(panel, sheet, shaper):
    sheet.heat_number = "H-4471"
    sheet.save()
    use = use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper)
    sheet.refresh_from_db()
    back = use.drop
    assert sheet.state == SheetStock.State.USED
    assert (back.kind, back.state, back.place, back.heat_number, back.cut_from) == (
        "drop", "rack", "rack 2", "H-4471", sheet
    )  # fmt: skip
    assert back.cost == Decimal("66.24")  # 1800/2500 of 92
    assert use.cost == Decimal("25.76")  # the piece bears what was cut to waste
    assert use.cost + back.cost == sheet.cost
    assert use.mass_kg == pytest.approx(700 * 400 * 1.6 * 2710e-9)
    assert metal_cost([panel]) == {panel.pk: Decimal("25.76")}


def test_without_a_drop_the_piece_bears_the_whole_sheet(panel, sheet, shaper):
    use = use_sheet(panel, sheet, 700, 400, person=shaper)
    assert (use.cost, use.drop) == (Decimal("92"), None)


@given(
    st.decimals(0, 10000, places=2),
    SIZES,
    SIZES,
    st.floats(0.001, 1),
    st.floats(0.001, 1),
    st.sampled_from([0, 2, 3]),
)
def test_cost_is_conserved_to_the_last_hundredth(cost, length, width, part, other, decimals):
    piece, back = share_cost(cost, Size(length, width), Size(length * part, width * other), decimals)
    assert piece + back == cost
    assert piece >= 0
    assert back >= 0


@given(SIZES, SIZES, st.floats(0.01, 1), st.floats(0.01, 1))
def test_what_is_left_comes_out_of_the_sheet_with_the_piece(length, width, part, other):
    sheet, piece = Size(length, width), Size(length * part, width * other)
    left = what_is_left(sheet, piece)
    assert left is None or both_fit(sheet, piece, left)


def test_a_piece_may_lie_either_way_round():
    assert both_fit(Size(1000, 500), Size(500, 600), Size(400, 500))
    assert not both_fit(Size(1000, 500), Size(501, 600), Size(400, 500))
    # Enough area, but no way to lay both.
    assert not both_fit(Size(100, 100), Size(90, 60), Size(50, 50))


@pytest.mark.parametrize(
    ("piece", "back", "field", "words"),
    [
        ((2600, 400), (None, None), "length", "does not fit in the sheet of 2\u2009500 × 1\u2009250 mm"),
        ((1300, 1300), (None, None), "length", "either way round"),
        ((700, 400), (2150, 1250), "drop_length", "At most 2\u2009100 × 1\u2009250 mm stays"),
    ],
)
def test_what_does_not_fit_is_refused_in_words(panel, sheet, shaper, piece, back, field, words):
    with pytest.raises(MaterialRefused, match=words) as refused:
        use_sheet(panel, sheet, *piece, *back, person=shaper)
    sheet.refresh_from_db()
    assert (refused.value.field, sheet.state) == (field, SheetStock.State.RACK)


def test_of_two_people_cutting_one_sheet_one_wins(panel, sheet, shaper, owner):
    seen_by_both = SheetStock.objects.get(pk=sheet.pk)
    use_sheet(panel, sheet, 700, 400, person=shaper)
    with pytest.raises(MaterialRefused, match=f"has been cut by Maro for {panel.mark}"):
        use_sheet(panel, seen_by_both, 700, 400, person=owner)
    assert MaterialUse.objects.count() == 1


def test_the_same_press_sent_twice_cuts_once(panel, sheet, shaper):
    press = uuid4()
    first = use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper, submission=press)
    assert use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper, submission=press) == first
    assert SheetStock.objects.filter(kind=SheetStock.Kind.DROP).count() == 1


def test_a_booking_made_by_mistake_is_taken_back_whole(panel, sheet, shaper, owner):
    use = use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper)
    take_back(use, shaper)
    sheet.refresh_from_db()
    assert (sheet.state, sheet.cost) == (SheetStock.State.RACK, Decimal("92"))
    assert SheetStock.objects.count() == 1
    assert not MaterialUse.objects.exists()
    his = use_sheet(panel, sheet, 700, 400, person=owner)
    with pytest.raises(MaterialRefused, match="Only Osk or the owner"):
        take_back(his, shaper)


def test_a_cut_whose_drop_was_used_since_stays(panel, sheet, shaper):
    use = use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper)
    use_sheet(panel, use.drop, 700, 400, person=shaper, booked_seen=1)
    with pytest.raises(MaterialRefused, match="has been used since"):
        take_back(use, shaper)
    sheet.refresh_from_db()
    assert sheet.state == SheetStock.State.USED


def test_a_sheet_of_other_metal_thickness_or_state_is_refused(panel, sheet, steel, aluminium, shaper):
    other = SheetStock.objects.create(metal=steel, thickness_mm=1.6, length_mm=2000, width_mm=1000)
    thin = drop(aluminium, 900, 900, thickness_mm=1.2)
    for wrong in (other, thin):
        with pytest.raises(MaterialRefused, match="Pick a sheet of that"):
            use_sheet(panel, wrong, 700, 400, person=shaper)
    sheet.state = SheetStock.State.ORDERED
    sheet.save()
    with pytest.raises(MaterialRefused, match="has not come in yet"):
        use_sheet(panel, sheet, 700, 400, person=shaper)


def test_a_closed_job_takes_no_metal(panel, sheet, shaper):
    panel.job.state = Job.State.CLOSED
    with pytest.raises(MaterialRefused, match="is closed"):
        use_sheet(panel, sheet, 700, 400, person=shaper)


def test_the_smallest_drop_that_fits_is_offered_first(panel, sheet, aluminium, steel):
    length, width = panel.blank_length_mm, panel.blank_width_mm
    turned = drop(aluminium, width + 1, length + 1)
    bigger = drop(aluminium, length + 100, width + 100)
    narrow = drop(aluminium, length - 5, width + 1)
    drop(aluminium, length + 1, width + 1, state=SheetStock.State.USED)
    drop(steel, length + 1, width + 1)
    assert sorted_by_fit(panel) == ([turned, bigger, sheet], [narrow])


def test_the_bench_offers_what_the_plan_counts_on(panel, aluminium):
    """One rule of what fits: a blank that may not be turned is not offered a sheet that it would be turned on."""
    length, width = panel.blank_length_mm, panel.blank_width_mm
    turned, lying = drop(aluminium, width + 1, length + 1), drop(aluminium, length + 40, width + 40)
    assert cut_for(panel, 1, [turned, lying], "mm").stock == turned
    panel.grain = Panel.Grain.ALONG
    assert sorted_by_fit(panel) == ([lying], [turned])
    assert cut_for(panel, 1, [turned, lying], "mm").stock == lying
    panel.grain = Panel.Grain.ACROSS
    assert sorted_by_fit(panel)[0][0] == turned
    assert cut_for(panel, 1, [turned, lying], "mm").stock == turned


def test_what_stays_follows_the_rolling_direction():
    """700 × 400 lying leaves 300 × 500 or 1000 × 100; turned it would leave 600 × 500."""
    sheet, piece = Size(1000, 700), Size(650, 400)
    assert what_is_left(sheet, piece) == Size(600, 700)
    assert what_is_left(sheet, piece, turnable=False) == Size(1000, 300)
    assert what_is_left(Size(500, 900), piece, turnable=False) == Size(500, 250)


def test_metal_booked_already_is_asked_about_once(panel, sheet, aluminium, steel, shaper, owner):
    first = use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper)
    with pytest.raises(AlreadyBooked, match="1 piece of this metal is booked on this panel already, by Maro"):
        use_sheet(panel, first.drop, 700, 400, person=owner)
    second = use_sheet(panel, first.drop, 700, 400, 1000, 1250, person=owner, booked_seen=1)
    with pytest.raises(AlreadyBooked, match=r"2 pieces of this metal .* the last by Osk"):
        use_sheet(panel, second.drop, 700, 400, person=shaper, booked_seen=1)
    panel.metal = steel  # other metal than what was booked: nothing of it is there yet
    other = SheetStock.objects.create(
        metal=steel, thickness_mm=1.6, length_mm=2000, width_mm=1000, cost=Decimal("40")
    )
    assert use_sheet(panel, other, 700, 400, person=shaper)
