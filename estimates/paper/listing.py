"""What the page of a job's papers lists: what can be printed, of the job and of each panel."""

from dataclasses import dataclass

from estimates.models import Quote
from estimates.paper.page import SIZES
from jobs.drawings.piece_words import BORDER_MM
from jobs.drawings.tiles import Paper, tiled
from jobs.models import Job, Panel
from shop.models import Person, Shop


@dataclass(frozen=True, slots=True)
class PanelPapers:
    """A panel and over about how many pages its pattern goes; nothing where it wants a roll."""

    panel: Panel
    pages: int | None


def papers_page(job: Job, person: Person, shop: Shop) -> dict:
    """The context of the page, in a constant number of queries."""
    panels = job.panels.select_related("metal", "mirrors__job").order_by("position")
    for panel in panels:
        panel.job = job
    quotes = list(job.quotes.order_by("revision")) if person.is_owner else []
    for quote in quotes:
        quote.job = job
    return {
        "job": job, "quotes": quotes, "is_owner": person.is_owner,
        "rows": [PanelPapers(panel, _pages(panel, shop)) for panel in panels],
        "draft": Quote.State.DRAFT,
    }  # fmt: skip


def _pages(panel: Panel, shop: Shop) -> int | None:
    """Counted from the blank's own size: close, and without drawing sixty patterns."""
    size = SIZES[shop.paper]
    long, wide = panel.blank_length_mm + 2 * BORDER_MM, panel.blank_width_mm + 2 * BORDER_MM
    try:
        count = len(tiled(long, wide, Paper(size.width_mm, size.height_mm)).tiles)
    except ValueError:
        return None
    return count + 1 if count > 1 else 1
