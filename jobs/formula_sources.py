"""What the formulas of an explanation rest on: each source in a sentence, and what is only custom."""

from collections.abc import Iterable

from jobs.forming.result import Step

# By what stands in the source of a step; in the order in which they are explained.
SOURCES = {
    "Pappus–Guldin": "An area made by carrying a line round an axis is the line’s length times the way its middle goes, "
    "so areas are added up strip by strip. CRC Concise Encyclopedia of Mathematics.",
    "arc over a chord": "Half the chord, squared, plus the height, squared, all over twice the height, is the radius: "
    "what a straightedge and a rule give.",
    "area of a spherical cap": "A cap has the area of a disc whose radius is the straight line from its top to its rim.",
    "equal area": "A drawn shell is cut from a disc of its own area. Evan A. Atkins, “Practical Sheet and Plate Metal "
    "Work”.",
    "constant volume": "Hammered metal keeps its volume: what grows shorter grows thicker in the same measure, what "
    "grows longer thinner.",
    "Gauss–Bonnet": "However a curved skin is made, the wedges it would take from a flat sheet, or let into it, come to "
    "the same angle: that of how far the skin turns. T. Watkins, San Jose State University, “The Gauss–Bonnet theorem”.",
    "DIN 6935": "The German standard for bending flat steel cold; its k is twice the K here.",
    "our own way": "No rule says how to share the work out over lines and passes. This is how this book does it; what "
    "the passes come to together is geometry.",
    "the shop’s own": "What your settings and this panel’s own fields say. Another shop’s hands and dies want others.",
}


def sources_used(steps: Iterable[Step]) -> tuple[tuple[str, str], ...]:
    """The sources of some steps, each with what it says."""
    named = [step.source.replace("'", "’") for step in steps]
    return tuple((name, words) for name, words in SOURCES.items() if any(name in source for source in named))
