"""Right-to-left letters in the order in which they stand on the paper.

PDF draws a line from left to right as it gets it. This puts a short line (a name, an address) in order by the main
rules of the Unicode bidirectional algorithm (UAX #9: P2-P3, W2-W7 in the simplest form, N1-N2, L2, L4): one level of
right-to-left inside a line, numbers kept as they are, brackets turned. Embeddings and isolates are left out.
Arabic letters take their joined forms from the Unicode character data.
"""

from __future__ import annotations

import unicodedata
from functools import cache

RIGHT = frozenset({"R", "AL"})
NUMBERS = frozenset({"EN", "AN"})
MIRRORED = dict(zip("()[]{}<>«»‹›", ")(][}{><»«›‹", strict=True))
MARK = "NSM"


def in_reading_order(text: str) -> str:
    """Return a line's characters from left to right as they stand on the paper."""
    kinds = [unicodedata.bidirectional(character) for character in text]
    if not RIGHT.intersection(kinds):
        return text
    text = joined(text)
    kinds = _whole_numbers([unicodedata.bidirectional(character) for character in text])
    base = next((kind in RIGHT for kind in kinds if kind in RIGHT or kind == "L"), False)
    levels = _levels(kinds, base)
    return _laid(text, levels)


def _whole_numbers(kinds: list[str]) -> list[str]:
    """Let one separator between digits belong to their number, and signs such as % and € beside it (W4, W5)."""
    kinds = list(kinds)
    for index in range(1, len(kinds) - 1):
        before, after = kinds[index - 1], kinds[index + 1]
        if before == after and (kinds[index], before) in {("ES", "EN"), ("CS", "EN"), ("CS", "AN")}:
            kinds[index] = before
    for order in (range(1, len(kinds)), range(len(kinds) - 2, -1, -1)):
        step = order.step
        for index in order:
            if kinds[index] == "ET" and kinds[index - step] == "EN":
                kinds[index] = "EN"
    return kinds


def _levels(kinds: list[str], base: bool) -> list[int]:
    """0 and 2 run left to right, 1 right to left; neutrals take their neighbours' way where both agree."""
    way: list[bool | None] = []
    last = base
    for kind in kinds:
        if kind in RIGHT or kind == "L":
            last = kind in RIGHT
            way.append(last)
        elif kind in NUMBERS or kind == MARK:
            way.append(last)
        else:
            way.append(None)
    settled = [_between(way, index, base) if one is None else one for index, one in enumerate(way)]
    return [
        2 if right and kind in NUMBERS else 1 if right else 2 if base else 0
        for kind, right in zip(kinds, settled, strict=True)
    ]


def _between(way: list[bool | None], index: int, base: bool) -> bool:
    before = next((one for one in reversed(way[:index]) if one is not None), base)
    after = next((one for one in way[index:] if one is not None), base)
    return before if before == after else base


def _laid(text: str, levels: list[int]) -> str:
    """Reverse from the highest level down to the lowest odd one (rule L2), turning brackets (L4)."""
    line = [
        MIRRORED.get(character, character) if level == 1 else character
        for character, level in zip(text, levels, strict=True)
    ]
    order = list(range(len(line)))
    for least in (2, 1):
        start = 0
        while start < len(order):
            if levels[order[start]] < least:
                start += 1
                continue
            end = start
            while end < len(order) and levels[order[end]] >= least:
                end += 1
            order[start:end] = reversed(order[start:end])
            start = end
    return "".join(line[index] for index in order)


@cache
def _forms() -> dict[str, dict[str, str]]:
    """The joined forms of each Arabic letter, out of the presentation forms' decompositions."""
    found: dict[str, dict[str, str]] = {}
    for code in (*range(0xFB50, 0xFBFF), *range(0xFE80, 0xFEFD)):
        form, _, letter = unicodedata.decomposition(chr(code)).partition(" ")
        if letter and " " not in letter and form in ("<initial>", "<medial>", "<final>", "<isolated>"):
            found.setdefault(chr(int(letter, 16)), {})[form.strip("<>")] = chr(code)
    return found


def joined(text: str) -> str:
    """Put Arabic letters into the forms that join their neighbours; letters without such forms stay."""
    forms = _forms()
    return "".join(_form(text, index, forms) for index in range(len(text)))


def _form(text: str, index: int, forms: dict[str, dict[str, str]]) -> str:
    own = forms.get(text[index])
    if own is None:
        return text[index]
    before = "initial" in forms.get(_neighbour(text, index, -1), {}) and "final" in own
    after = "final" in forms.get(_neighbour(text, index, 1), {}) and "initial" in own
    name = {(True, True): "medial", (True, False): "final", (False, True): "initial"}.get((before, after))
    return own.get(name or "isolated", text[index])


def _neighbour(text: str, index: int, step: int) -> str:
    """The next character that is no mark upon a letter."""
    index += step
    while 0 <= index < len(text) and unicodedata.bidirectional(text[index]) == MARK:
        index += step
    return text[index] if 0 <= index < len(text) else ""
