"""What a form says of itself where its formulas are: every dimension, its unit, the limits, an example, the source."""

import importlib
import inspect
import pkgutil
import re

import pytest

import jobs.forming
from jobs.forming import FORMS
from jobs.forming.dimension import Dimension

UNITS = {"length": "mm", "lengths": "mm", "angle": "degrees"}


def entries(text: str) -> dict[str, str]:
    """Return the words on each name of a docstring's Parameters; names set together share theirs."""
    found = {}
    _, _, after = text.partition("Parameters\n----------\n")
    after, _, _ = after.partition("Raises\n------\n")
    for names, words in re.findall(r"^(\w+(?:, \w+)*)\n((?:    .+\n)+)", after, re.MULTILINE):
        found.update(dict.fromkeys(names.split(", "), " ".join(words.split())))
    return found


@pytest.mark.parametrize("form", FORMS.values(), ids=list(FORMS))
class TestForm:
    def test_names_every_dimension_and_no_other(self, form):
        assert set(entries(inspect.getdoc(form))) == {dimension.name for dimension in form.dimensions}

    def test_says_what_every_dimension_is_measured_in(self, form):
        words = entries(inspect.getdoc(form))
        for dimension in form.dimensions:
            assert _has_its_unit(dimension, words[dimension.name]), dimension.name

    def test_has_its_equation_before_its_dimensions(self, form):
        equation, _, _ = inspect.getdoc(form).partition("Parameters\n")
        assert " = " in equation

    @pytest.mark.parametrize("part", ["Limits: ", ">>> ", "Source: "])
    def test_has_its_limits_an_example_and_a_source(self, form, part):
        assert part in inspect.getdoc(form)

    def test_says_what_it_refuses(self, form):
        assert "Raises\n------\nImpossibleShape\n" in inspect.getdoc(form)

    def test_opens_with_a_sentence(self, form):
        assert inspect.getdoc(form).splitlines()[0].endswith(".")


def _has_its_unit(dimension: Dimension, words: str) -> bool:
    if dimension.kind == "choice":
        return all(stored in words for stored, _ in dimension.choices) or "as words" in words
    if dimension.kind == "angle":
        return re.search(r"\d degrees|radians", words) is not None
    return dimension.kind not in UNITS or re.search(rf"\b{UNITS[dimension.kind]}\b", words) is not None


def _modules():
    for found in pkgutil.walk_packages(jobs.forming.__path__, "jobs.forming."):
        yield importlib.import_module(found.name)


def _public():
    """Yield every public class and function of the package, and the public methods of its classes."""
    for module in _modules():
        for name, thing in vars(module).items():
            if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(thing) or inspect.isclass(thing):
                yield f"{module.__name__}.{name}", thing
            if inspect.isclass(thing):
                yield from (
                    (f"{module.__name__}.{name}.{each}", value.fget if isinstance(value, property) else value)
                    for each, value in vars(thing).items()
                    if not each.startswith("_") and (inspect.isfunction(value) or isinstance(value, property))
                )


def test_everything_public_opens_with_a_sentence():
    opened = {name: (thing.__doc__ or "").strip().splitlines()[:3] for name, thing in _public()}
    assert len(opened) > 150
    without = [name for name, lines in opened.items() if not re.search(r"[.:;]", " ".join(lines))]
    assert without == []


def test_a_docstring_without_a_dimension_would_be_noticed():
    text = inspect.getdoc(FORMS["dome"]).replace("height_mm\n    From", "From")
    assert "height_mm" not in entries(text)
