"""What control adds to the jobs' pages: the customer's page of a job, and the range of each panel in work."""

from collections.abc import Iterable, Mapping

from django.utils import timezone

from estimates.progress_link import standing_link
from estimates.standing import correlations, standings
from jobs.models import Job, Panel, Stage
from jobs.parts import PanelRange, Part, add_part, add_ranges
from shop.models import Person


@add_part
def customers_page_of_job(job: Job, person: Person) -> Part | None:
    """The link to the customer's page, once there is work to show."""
    if job.accepted_at is None:
        return None
    link = standing_link(job)
    has_run_out = bool(link and link.expires_at <= timezone.now())
    return Part("estimates/_job_progress_link.html", {"job": job, "link": link, "has_run_out": has_run_out})


@add_ranges
def ranges_of_panels(panels: Iterable[Panel]) -> Mapping[int, PanelRange]:
    """The range of each panel that has come to the bench, in two queries."""
    panels = list(panels)
    stages = Stage.objects.filter(panel__in=panels).select_related("kind").order_by("kind__position")
    alike = correlations({panel.job_id for panel in panels})
    return {
        standing.panel.pk: PanelRange(standing.estimated.p50, standing.estimated.p80)
        for standing in standings(panels, stages, {}, alike)
    }
