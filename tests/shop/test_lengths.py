"""Lengths and angles as people write them."""

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.lengths import (
    UnreadableAngle,
    UnreadableLength,
    format_angle,
    format_blank,
    format_length,
    parse_angle_rad,
    parse_length_mm,
)

READ = [
    ("7 in", 177.8),
    ('7"', 177.8),
    ("7''", 177.8),
    ("7″", 177.8),
    ("7”", 177.8),
    ("7 in.", 177.8),
    ("7 Inches", 177.8),
    ('3/4"', 19.05),
    ("¾ in", 19.05),
    ("1¾ in", 44.45),
    ("1 ¾ in", 44.45),
    ("1 3⁄4 in", 44.45),
    ("1-3/4 in", 44.45),
    ("1\u20113/4 in", 44.45),
    ("1 - 3/4 in", 44.45),
    ("13/4 in", 82.55),
    ("180 mm", 180.0),
    ("180mm", 180.0),
    ("18 cm", 180.0),
    ("1.2 m", 1200.0),
    ("0.048 in", 1.2192),
    (".048 in", 1.2192),
    ("7. mm", 7.0),
    ("2 ft 3 in", 685.8),
    ("2 ft", 609.6),
    ("2' 3 1/2\"", 698.5),
    ("2'3½", 698.5),
    ("2′ 3½″", 698.5),
    ("2’-3 1/2”", 698.5),
    ("7,5 mm", 7.5),
    ("0,125 in", 3.175),
    ("12,50 mm", 12.5),
    ("1\u2009200 mm", 1200.0),
    ("1 200 mm", 1200.0),
    ("1\u00a0200 mm", 1200.0),
    ("2 545,5 mm", 2545.5),
    ("12 000.5 mm", 12000.5),
    ("1\u202f200.5 mm", 1200.5),
    ("7\u2009mm", 7.0),
    ("1\u20093/4 in", 44.45),
    ("1\u00a03/4 in", 44.45),
    ("  7\tmm ", 7.0),
    ("0 mm", 0.0),
    ("100 m", 100_000.0),
]


@pytest.mark.parametrize(("text", "length_mm"), READ)
def test_a_length_is_read_as_the_trade_writes_it(text: str, length_mm: float) -> None:
    assert parse_length_mm(text) == length_mm
    assert parse_length_mm(text, bare="in") == length_mm


@pytest.mark.parametrize(
    ("text", "inches"), [("7", 7), ("1 3/4", 1.75), ("7,5", 7.5), ("1½", 1.5), (".5", 0.5)]
)
def test_a_bare_number_is_in_the_shops_unit(text: str, inches: float) -> None:
    assert parse_length_mm(text, bare="mm") == inches
    assert parse_length_mm(text, bare="in") == pytest.approx(inches * 25.4, rel=1e-15)


REFUSED = [
    ("", "Nothing"),
    (" \t\u2009", "Nothing"),
    ("-7", "sign"),
    ("+7 mm", "sign"),
    ("−7 mm", "sign"),
    ("1/0", "nought below"),
    ("1 1/0 in", "nought below"),
    ("1e400", "cannot be read"),
    ("1e3", "cannot be read"),
    ("nan", "cannot be read"),
    ("inf", "cannot be read"),
    ("infinity mm", "cannot be read"),
    ("9" * 41, "40 characters"),
    ("9" * 40, "100 m"),
    ("9" * 10_000_000, "40 characters"),
    ("7 8", "cannot be read"),
    ("7 in 8 in", "cannot be read"),
    ("7 x 8 mm", "cannot be read"),
    ("10 20 mm", "cannot be read"),
    ("1 20 mm", "cannot be read"),
    ("0 200 mm", "cannot be read"),
    ("1020 300 mm", "cannot be read"),
    ("1 020 in", "can be read two ways. Write 1020, or a fraction"),
    ("1 020 ft", "can be read two ways"),
    ("1.5 3/4 in", "cannot be read"),
    ("1 3/2 in", "less than one"),
    ("3 in 2 ft", "cannot be read"),
    ("2 ft 14 in", "less than 12"),
    ("2.5 ft 3 in", "whole feet"),
    ("7 yd", "cannot be read"),
    ("mm", "cannot be read"),
    ("7 °", "cannot be read"),
    ("1,250 mm", "1250 or 1.250"),
    ("1.250,5 mm", "cannot be read"),
    ("1,2,3 mm", "cannot be read"),
    ("0x10 mm", "cannot be read"),
    ("1_000 mm", "cannot be read"),
    ("1³⁄₄ in", "cannot be read"),
    ("٧ mm", "cannot be read"),
    ("100.001 m", "100 m"),
    ("/4 in", "cannot be read"),
    (".", "cannot be read"),
    ("⅟ in", "cannot be read"),
    ("7 mm\x00", "cannot be read"),
]


@pytest.mark.parametrize(("text", "reason"), REFUSED)
def test_what_cannot_be_read_is_refused_with_a_reason(text: str, reason: str) -> None:
    with pytest.raises(UnreadableLength, match=reason) as refusal:
        parse_length_mm(text)
    assert len(str(refusal.value)) < 200


@given(st.text(max_size=60))
def test_any_text_is_a_length_or_a_clear_refusal(text: str) -> None:
    with contextlib.suppress(UnreadableLength):
        assert 0 <= parse_length_mm(text) <= 100_000


@given(st.text(alphabet="0123456789 ,./-'\"½¾imnftc\u2009", max_size=20))
def test_any_scramble_of_the_trades_signs_is_a_length_or_a_clear_refusal(text: str) -> None:
    with contextlib.suppress(UnreadableLength):
        assert 0 <= parse_length_mm(text, bare="in") <= 100_000


@pytest.mark.parametrize(
    ("length_mm", "inches", "millimetres"),
    [
        (44.45, "1\u00a03/4 in", "44.5 mm"),
        (0.0, "0 in", "0 mm"),
        (19.05, "3/4 in", "19.1 mm"),
        (177.8, "7 in", "177.8 mm"),
        (25.39, "1 in", "25.4 mm"),
        (0.79375, "1/32 in", "0.8 mm"),
        (2545.46, "100\u00a07/32 in", "2\u2009545.5 mm"),
        (-6.35, "−1/4 in", "−6.4 mm"),
        (-0.01, "0 in", "0 mm"),
    ],
)
def test_a_length_is_written_in_the_shops_unit(length_mm: float, inches: str, millimetres: str) -> None:
    assert format_length(length_mm, "in") == inches
    assert format_length(length_mm, "mm") == millimetres
    assert format_length(length_mm, "mm", with_unit=False) == millimetres.removesuffix(" mm")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_length_or_angle_that_is_no_number_is_not_written(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        format_length(value)
    with pytest.raises(ValueError, match="finite"):
        format_angle(value)


@given(st.floats(0, 99_999), st.sampled_from(["in", "mm"]), st.booleans())
def test_a_written_length_reads_back_within_half_a_step(
    length_mm: float, units: str, with_unit: bool
) -> None:
    written = format_length(length_mm, units, with_unit)
    read_mm = parse_length_mm(written, bare=units)
    assert abs(read_mm - length_mm) <= (25.4 / 64 if units == "in" else 0.05) + 1e-9
    assert format_length(read_mm, units, with_unit) == written


@given(st.integers(0, 125_000))
def test_every_thirty_second_reads_back_exactly(thirty_seconds: int) -> None:
    length_mm = parse_length_mm(f"{thirty_seconds}/32 in")
    assert parse_length_mm(format_length(length_mm, "in")) == length_mm


def test_no_line_ends_between_whole_inches_and_their_fraction():
    assert format_blank(350.0, 350.0, "in") == "13\u00a025/32 × 13\u00a025/32 in"


@pytest.mark.parametrize(("units", "step_mm"), [("in", 25.4 / 32), ("mm", 0.1)])
@given(st.floats(0.5, 9_000), st.floats(0.5, 9_000))
def test_a_blank_is_never_written_smaller_than_it_must_be_cut(units, step_mm, length_mm, width_mm) -> None:
    sides = format_blank(length_mm, width_mm, units).removesuffix(f" {units}").split(" × ")
    for written, side_mm in zip(sides, (length_mm, width_mm), strict=True):
        over_mm = parse_length_mm(written, bare=units) - side_mm
        assert -1e-6 * step_mm <= over_mm < step_mm + 1e-6


@pytest.mark.parametrize(
    ("typed", "inches"), [("1,5", 1.5), ("0,048", 0.048), ("12,75 in", 12.75), (",5", 0.5), ("1.5", 1.5)]
)
def test_a_decimal_comma_is_read_in_an_inch_shop_too(typed: str, inches: float) -> None:
    assert parse_length_mm(typed, bare="in") == pytest.approx(inches * 25.4, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("90", 90),
        ("90°", 90),
        ("90 deg", 90),
        ("22,5 degrees", 22.5),
        ("22½", 22.5),
        ("22 1/2°", 22.5),
        ("0", 0),
    ],
)
def test_an_angle_is_read_in_degrees(text: str, degrees: float) -> None:
    assert parse_angle_rad(text) == pytest.approx(math.radians(degrees), abs=1e-15)


@pytest.mark.parametrize("text", ["", "-5", "361", "1/0", "nan", "90 mm", "22° 30'", "9" * 41, "1,250"])
def test_an_angle_that_cannot_be_read_is_refused(text: str) -> None:
    with pytest.raises(UnreadableAngle):
        parse_angle_rad(text)


@given(st.floats(0, 359.9))
def test_a_written_angle_reads_back_within_half_a_step(degrees: float) -> None:
    written = format_angle(math.radians(degrees))
    assert abs(math.degrees(parse_angle_rad(written)) - degrees) <= 0.05 + 1e-9
    assert format_angle(parse_angle_rad(written)) == written
