"""Acceptance: the customer's yes, and the budgets that come with it."""

from collections.abc import Collection
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from estimates.answers import AnswerRefused, by, held_for_answer, keep_answer
from estimates.models import Answer, Quote
from estimates.pricing.shares import as_hours
from jobs.models import Job, Panel, Stage
from jobs.own_stages import put_at_the_bench
from shop.audit import record
from shop.models import Person, StageKind


@transaction.atomic
def accept(
    quote: Quote, *, name: str, options: Collection[str] = (), note: str = "", person: Person | None = None,
    seen_total: Decimal | None = None,
) -> Answer:  # fmt: skip
    """Accept a sent quote with some of its options: one answer, the job in work, every panel its stages.

    ``name`` is what the customer typed; ``person`` is set where somebody of the shop writes down a yes by telephone.
    ``seen_total`` is the total the customer had before their eyes: where it is another with these options, nothing
    is accepted. All of it happens or none.
    """
    quote = held_for_answer(quote, person)
    job = quote.job
    if job.state == Job.State.CLOSED:
        raise AnswerRefused("The job is closed. Please call us.")
    answer = keep_answer(
        quote, Answer.Kind.ACCEPTED, name=name, options=sorted(set(options)), note=note, person=person
    )
    if seen_total is not None and answer.total != seen_total:
        raise AnswerRefused("The total is another with these options. Read it below, then accept.")
    job.state = Job.State.IN_WORK
    job.accepted_at = job.accepted_at or timezone.now()
    job.save(update_fields=["state", "accepted_at"])
    make_stages(quote)
    record(
        person, "accepted", quote, job_number=job.number, who=by(name, person),
        changes={"total": [None, str(answer.total)], "options": [None, answer.options_taken]},
    )  # fmt: skip
    return answer


def make_stages(quote: Quote) -> list[Stage]:
    """Give every panel on an accepted quote the stages it was quoted for, with their ranges as budgets.

    A stage without hours gets no row. A stage that stands already keeps its budget: extra work is budgeted on
    panels of its own. A panel goes through the stages of the shop's own that it was quoted for, and through those it
    was given since.
    """
    quoted = quote.frozen["panels"]
    panels = Panel.objects.in_bulk([panel["pk"] for panel in quoted])
    kinds = StageKind.objects.in_bulk()
    standing = set(Stage.objects.filter(panel__in=panels).values_list("panel", "kind"))
    made = Stage.objects.bulk_create(
        _stage(panels[panel["pk"]], kinds[stage["kind"]], stage["hours"])
        for panel in quoted
        for stage in panel["stages"]
        if panel["pk"] in panels
        and stage["kind"] in kinds
        and stage["hours"]["mean_log"] is not None
        and (panel["pk"], stage["kind"]) not in standing
    )
    return made + _in_step(panels, quoted, made)


def _in_step(panels: dict[int, Panel], quoted: list[dict], made: list[Stage]) -> list[Stage]:
    """Let the panels' own stages say what was accepted, and put those at the bench that the quote knew nothing of."""
    own = {panel.pk: [] for panel in panels.values()}
    for stage in made:
        if (
            stage.kind.driver == StageKind.Driver.FIXED
            and stage.kind.slug not in panels[stage.panel_id].own_stages
        ):
            own[stage.panel_id].append(stage.kind.slug)
    since = {
        panels[each["pk"]]: set(panels[each["pk"]].own_stages) - {stage["slug"] for stage in each["stages"]}
        for each in quoted
        if each["pk"] in panels
    }
    for pk, slugs in own.items():
        panels[pk].own_stages = [*panels[pk].own_stages, *slugs]
    Panel.objects.bulk_update([panels[pk] for pk, slugs in own.items() if slugs], ["own_stages"])
    return put_at_the_bench(since)


def _stage(panel: Panel, kind: StageKind, hours: dict) -> Stage:
    low = as_hours(hours["p50"])
    return Stage(
        panel=panel, kind=kind, budget_low_hours=low, budget_high_hours=max(low, as_hours(hours["budget"])),
        mean_log=hours["mean_log"], scale=hours["scale"], degrees_of_freedom=hours["df"],
    )  # fmt: skip
