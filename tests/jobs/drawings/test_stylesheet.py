"""The stylesheet and the table of roles say the same."""

import re
from pathlib import Path

import pytest

from jobs.drawings import roles

SHEET = (Path(__file__).parents[3] / "static/css/drawings.css").read_text(encoding="utf-8")
PLAIN = re.sub(r"/\*.*?\*/", "", SHEET, flags=re.DOTALL)
RULES = re.findall(r"([^{}]+)\{([^}]*)\}", PLAIN)


def declared(role: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for selectors, body in RULES:
        if f".drawing .d-{role}" in [one.strip() for one in selectors.split(",")]:
            found |= dict(re.findall(r"([\w-]+):\s*([^;]+);", body))
    return found


@pytest.mark.parametrize("role", sorted(roles.STROKES))
def test_strokes_agree(role):
    look, style = roles.STROKES[role], declared(role)
    assert "stroke" in style
    if role == "section":  # its width is the sheet's and stands on the element
        assert "stroke-width" not in style
        return
    assert float(style["stroke-width"]) == look.width
    assert tuple(float(part) for part in style.get("stroke-dasharray", "").split()) == look.dash


@pytest.mark.parametrize("role", sorted(roles.SOLID | roles.TEXTS))
def test_fillings_and_letterings_have_a_colour(role):
    assert declared(role).get("fill", "").startswith("var(--")


@pytest.mark.parametrize("role", sorted(roles.PATTERNS))
def test_patterns_have_a_colour(role):
    assert declared(f"tile-{role}").get("stroke", "").startswith("var(--")


def test_colours_are_tokens_only():
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl", PLAIN) == []
