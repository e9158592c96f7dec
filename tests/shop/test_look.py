"""The look: contrast of the tokens in both themes, clean templates, type that is really there."""

import re
from pathlib import Path

import pytest
from django.conf import settings

CSS = Path(settings.BASE_DIR) / "static" / "css"
FONTS = Path(settings.BASE_DIR) / "static" / "fonts"
TEMPLATES = sorted((Path(settings.BASE_DIR) / "templates").rglob("*.html"))
TEXT, LINE = 4.5, 3.0  # WCAG 2.2, success criteria 1.4.3 and 1.4.11, level AA


def token_blocks() -> list[dict[str, str]]:
    """Every block of colours in the token sheet, in order: paper, night by the device, night by the switch."""
    blocks = re.findall(r"\{([^{}]*)\}", (CSS / "tokens.css").read_text())
    colours = [dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", block)) for block in blocks]
    return [block for block in colours if block]


PAPER, NIGHT_BY_DEVICE, NIGHT = token_blocks()
THEMES = {"paper": PAPER, "night": NIGHT}


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it, 1 to 21."""
    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


# Front, ground, least ratio that WCAG asks for, and the ratios we hold in paper and in night (to 0.1).
PAIRS = [
    ("ink", "paper", TEXT, 13.1, 14.7),
    ("ink", "field", TEXT, 16.2, 11.4),
    ("ink", "sheet", TEXT, 14.8, 13.2),
    ("ink", "dye-wash", TEXT, 11.3, 9.1),
    ("ink", "kraft", TEXT, 8.7, 4.7),
    ("pencil", "paper", TEXT, 6.6, 9.5),
    ("pencil", "field", TEXT, 8.2, 7.3),
    ("pencil", "sheet", TEXT, 7.5, 8.5),
    ("edge", "paper", LINE, 3.9, 5.4),
    ("edge", "field", LINE, 4.9, 4.1),
    ("dye", "paper", TEXT, 9.6, 13.7),
    ("on-dye", "dye", TEXT, 11.0, 12.9),
    ("on-lamp", "lamp", TEXT, 11.0, 11.0),
    ("focus", "paper", LINE, 9.6, 11.1),
    ("focus", "field", TEXT, 11.9, 8.6),
    ("wax", "paper", TEXT, 5.9, 8.9),
    ("wax", "field", TEXT, 7.3, 6.9),
    ("wax", "sheet", TEXT, 6.7, 8.1),
    ("wax", "wax-wash", TEXT, 5.6, 6.1),
    ("kraft-line", "paper", LINE, 7.0, 12.3),
    ("kraft-line", "kraft", LINE, 4.6, 3.9),
    ("steel-tick", "steel", TEXT, 11.0, 6.9),
    ("steel-dye", "steel", TEXT, 8.4, 4.6),
    ("steel-on-dye", "steel-dye", TEXT, 11.0, 11.0),
]


@pytest.mark.parametrize(("front", "ground", "least", "paper", "night"), PAIRS)
def test_every_pair_of_colours_has_the_contrast_it_needs(front, ground, least, paper, night):
    for theme, held in ((PAPER, paper), (NIGHT, night)):
        ratio = contrast(theme[front], theme[ground])
        assert ratio >= least
        assert ratio == pytest.approx(held, abs=0.1)


def test_a_hair_is_too_faint_to_carry_meaning():
    """The measure itself can fail: the row divider does not reach the contrast of a line that means something."""
    assert all(contrast(theme["hair"], theme["paper"]) < LINE for theme in THEMES.values())


def test_black_on_white_is_the_most_there_is():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


def test_both_themes_have_every_colour():
    assert PAPER.keys() == NIGHT.keys()


def test_night_is_the_same_by_device_and_by_switch():
    assert NIGHT_BY_DEVICE == NIGHT


def test_every_colour_that_is_used_exists():
    used = {
        name
        for sheet in CSS.glob("*.css")
        for name in re.findall(r"var\(--([a-z0-9-]+)\)", sheet.read_text())
    }
    defined = set(re.findall(r"--([a-z0-9-]+):", (CSS / "tokens.css").read_text()))
    assert used <= defined


NAMES_COLOURS = {"tokens.css", "print.css"}
PLAIN = sorted(sheet for sheet in CSS.glob("*.css") if sheet.name not in NAMES_COLOURS)


@pytest.mark.parametrize("sheet", PLAIN, ids=lambda path: path.name)
def test_only_the_tokens_and_the_printer_name_a_colour(sheet):
    rules = re.sub(r"/\*.*?\*/", "", sheet.read_text(), flags=re.S)
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?![^{]*\{)|rgba?\(|hsla?\(", rules) == []


def test_paper_is_black_on_white():
    printed = (CSS / "print.css").read_text()
    named = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{3});", printed))
    assert named.keys() == PAPER.keys()
    assert set(named.values()) == {"#000", "#fff"}
    assert (named["ink"], named["paper"]) == ("#000", "#fff")


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_templates_hold_no_inline_style_or_script(template):
    """The page is served under a policy that would drop them."""
    assert inline_parts(template.read_text()) == []


def inline_parts(markup: str) -> list[str]:
    return re.findall(
        r"\sstyle\s*=|<style|<script(?![^>]*\ssrc=)|\son[a-z]+\s*=\s*[\"']|javascript:|\shx-on", markup
    )


@pytest.mark.parametrize(
    "markup",
    [
        '<p style="x">',
        "<style>",
        "<script>alert()</script>",
        '<a onclick="x">',
        "javascript:x",
        "<p hx-on:click=1>",
    ],
)
def test_the_search_for_inline_parts_finds_them(markup):
    assert inline_parts(markup)


def test_templates_comment_on_one_line_or_in_a_block():
    """A short comment that runs over two lines would be shown to the reader."""
    broken = [
        path.name for path in TEMPLATES if re.search(r"\{#(?:(?!#\}).)*$", path.read_text(), flags=re.M)
    ]
    assert broken == []


def test_every_font_that_is_named_is_there():
    named = re.findall(r"url\(\"\.\./fonts/([^\"]+)\"\)", (CSS / "fonts.css").read_text())
    assert len(named) == 12
    assert [name for name in named if not (FONTS / name).is_file()] == []


@pytest.mark.parametrize("family", ["piazzolla", "b612", "asap"])
def test_every_family_comes_with_its_licence(family):
    assert "SIL OPEN FONT LICENSE" in (FONTS / f"LICENSE-{family}.txt").read_text()


@pytest.mark.parametrize("font", sorted((FONTS / "pdf").glob("*.ttf")), ids=lambda path: path.stem)
def test_paper_fonts_embed_and_read_back(font, tmp_path):
    """Letters of the shop's customers, figures with a thin space, and what dimensions are written with."""
    from pypdf import PdfReader
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    said = "Łódź Győr č ș 2\u2009545 12–16 h 3/4″ ± 0.5° × € −"
    pdfmetrics.registerFont(TTFont(f"look-{font.stem}", font))
    canvas = Canvas(str(tmp_path / "letters.pdf"))
    canvas.setFont(f"look-{font.stem}", 12)
    canvas.drawString(50, 700, said)
    canvas.save()
    page = PdfReader(tmp_path / "letters.pdf").pages[0]
    assert page.extract_text().strip() == said
    embedded = [one.get_object() for one in page["/Resources"]["/Font"].values()]
    assert any("/FontFile2" in one.get("/FontDescriptor", {}) for one in embedded)


@pytest.mark.parametrize("font", sorted((FONTS / "pdf").glob("b612*.ttf")), ids=lambda path: path.stem)
def test_figures_are_equally_wide(font):
    from fontTools.ttLib import TTFont

    with TTFont(font) as face:
        names, widths = face.getBestCmap(), face["hmtx"]
        assert len({widths[names[ord(figure)]][0] for figure in "0123456789"}) == 1
        assert widths[names[0x2009]][0] < widths[names[ord("0")]][0] / 2
