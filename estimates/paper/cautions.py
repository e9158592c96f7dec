"""What a work order says about dangers to people. It never says that a part is safe."""

from __future__ import annotations

ALWAYS = (
    "Cut edges are sharp until they are dressed: gloves on for every lift, off near anything that turns.",
    "Eyes and ears covered at the hammer, the shear and the grinder. Mind anyone near.",
    "Hammers and grinders shake hands: change tool and rest before fingers tingle or go white.",
)
LAST = (
    "Local codes and licensed practice come first. Aircraft and pressure parts need the approved data and the "
    "sign-off that their authority asks for."
)
ZINC = "Zinc burns off as white fume when heated or welded: strip it first, work with extraction and breathe none."
LEAD = "Old paint and solder may hold lead: no burning or dry sanding; wash hands before eating."
HAMMER = "Power hammer: guard and pedal checked, no loose sleeves, nothing but the sheet between the dies."
ZINC_FAMILIES = frozenset({"galvanized", "zinc", "brass"})
LEAD_FAMILIES = frozenset({"steel", "galvanized", "copper", "brass", "zinc"})


def cautions_for(family: str, method: str) -> tuple[str, ...]:
    """The usual cautions, and those that a metal or the power hammer adds."""
    added = [
        words
        for words, applies in (
            (HAMMER, method == "power"),
            (ZINC, family in ZINC_FAMILIES),
            (LEAD, family in LEAD_FAMILIES),
        )
        if applies
    ]
    return (*ALWAYS, *added, LAST)
