"""What later rooms add to this room's pages, without this room knowing them.

Estimates know jobs; jobs may not know estimates. So a later room registers here, when it is loaded, what it has to
say on a job's page (its quotes) and how many hours a whole panel should take.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from jobs.models import Job, Panel
from shop.models import Person


@dataclass(frozen=True, slots=True)
class NextAction:
    """What a job waits for, in words, and the page where it is done; no address where one can only wait."""

    words: str
    url: str = ""
    action: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """A section of the job's page: a template of the room it comes from, and what that needs to know."""

    template: str
    context: Mapping[str, object] = field(default_factory=dict)
    next_action: NextAction | None = None


@dataclass(frozen=True, slots=True)
class PanelRange:
    """Hours a whole panel should take: half of panels are done by ``low``, most of them by ``high``."""

    low: float
    high: float


PartMaker = Callable[[Job, Person], Part | None]
RangeMaker = Callable[[Sequence[Panel]], Mapping[int, PanelRange]]
Keeper = Callable[[Panel], str]

_part_makers: list[PartMaker] = []
_range_makers: list[RangeMaker] = []
_keepers: list[Keeper] = []


def add_part(make: PartMaker) -> PartMaker:
    """Register a section of the job's page; it is asked for each job that is opened."""
    _part_makers.append(make)
    return make


def parts_of(job: Job, person: Person) -> list[Part]:
    """The sections that later rooms add to a job's page, in the order they registered."""
    made = (make(job, person) for make in _part_makers)
    return [part for part in made if part is not None]


def add_ranges(make: RangeMaker) -> RangeMaker:
    """Register who knows the range of whole panels. Stages alone do not tell it: their high ends do not add up."""
    _range_makers.append(make)
    return make


def ranges_of(panels: Iterable[Panel]) -> dict[int, PanelRange]:
    """The range of each panel by its primary key; panels without one are left out."""
    panels = list(panels)
    return {pk: found for make in _range_makers for pk, found in make(panels).items()}


def add_keeper(why: Keeper) -> Keeper:
    """Register what says, in a sentence, why a panel must not be removed; an empty text where it may."""
    _keepers.append(why)
    return why


def reasons_to_keep(panel: Panel) -> list[str]:
    """Why later rooms need the panel to stay."""
    return [reason for why in _keepers if (reason := why(panel))]
