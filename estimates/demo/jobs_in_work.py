"""The six live jobs of the example shop, each at another point of its way."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from math import radians

from django.utils import timezone

from estimates.demo.bench import Task, bench_before, work_through
from estimates.demo.cast import Cast
from estimates.demo.history import stages_of, true_hours
from estimates.demo.metals_and_sheets import cut
from estimates.demo.moments import Story
from estimates.models import QuoteLine
from estimates.progress.link import make_link
from jobs.clock import clock_in
from jobs.forming import Work
from jobs.forming import readings as forming
from jobs.hours_log import add_hours, correct_entry
from jobs.models import Job, Panel, Photo, Reading, Stage
from jobs.notes import add_note
from jobs.passes import tick_pass
from jobs.progress import finish_stage, set_progress
from jobs.reading_log import log_reading
from jobs.readings import FORMING_KIND, plan_of
from shop.models import Person

STEP = timedelta(minutes=6)
RUNNING_FOR = timedelta(hours=1, minutes=42)


def _bought(label: str, amount: str, *, option: bool = False) -> QuoteLine:
    return QuoteLine(kind=QuoteLine.Kind.BOUGHT_IN, label=label, amount=Decimal(amount), is_option=option)


def agreed_jobs(cast: Cast, found: dict[str, Job]) -> list[Story]:
    """Enquiry, quote, yes and deposit of the five jobs that have come to the bench; ``found`` collects them."""
    return [
        _cap(cast, found),
        _fairing(cast, found),
        _sidecar(cast, found),
        _dome(cast, found),
        _hood(cast, found),
    ]


def _cap(cast: Cast, found: dict[str, Job]) -> Story:
    days = cast.days
    yield days.ago(44, 9, 30)
    job = found["cap"] = cast.take_in(
        "band",
        "Bandstand cap",
        "The cap over the king post; the old one has split along two seams.",
        days.ahead(2),
    )
    cast.add_panel(
        job, "Bandstand cap", "zinc", 0.8, "dome", lines=5, diameter_mm=780.0, height_mm=150.0,
        note="Rolled rim to fit the old drip ring.",
    )  # fmt: skip
    cast.photograph("old part", "layout", "before", cast.osk, job=job, taken=days.ago(44, 9, 50), metal="zinc",
                    subject=Photo.Subject.OLD_PART, caption="The old cap, split along two seams")  # fmt: skip
    yield days.ago(41, 15, 0)
    quote = cast.send(cast.quote(job, "One cap in zinc, rim rolled to your drip ring.",
                                 [_bought("Scaffold hoist, half a day", "95", option=True)]))  # fmt: skip
    yield days.ago(36, 12, 10)
    cast.agree(quote, "Ada Green, bandmaster", promised=days.ahead(2))
    yield days.ago(34, 9, 0)
    cast.pay_deposit(job)


def _fairing(cast: Cast, found: dict[str, Job]) -> Story:
    days = cast.days
    yield days.ago(39, 11, 0)
    job = found["fairing"] = cast.take_in(
        "boatyard", "Bow fairing, lake launch", "To the plywood pattern of the yard.", days.ahead(9)
    )
    cast.add_panel(
        job, "Bow fairing", "aluminium", 1.6, "crown", lines=9, width_mm=780.0, length_mm=1180.0,
        width_height_mm=165.0, length_height_mm=110.0,
    )  # fmt: skip
    cast.photograph("pattern", "layout", "before", cast.osk, job=job, taken=days.ago(39, 11, 20),
                    metal="aluminium", subject=Photo.Subject.PATTERN, caption="The yard's pattern")  # fmt: skip
    yield days.ago(37, 17, 0)
    quote = cast.send(cast.quote(job, "One skin, planished, edges left for you to trim.",
                                 [_bought("Delivery to the yard", "60", option=True)]))  # fmt: skip
    yield days.ago(30, 10, 30)
    cast.agree(quote, "R. Reedling", options=[_option_of(quote)], promised=days.ahead(6))
    yield days.ago(29, 9, 0)
    cast.pay_deposit(job)


def _sidecar(cast: Cast, found: dict[str, Job]) -> Story:
    days = cast.days
    yield days.ago(35, 14, 0)
    job = found["sidecar"] = cast.take_in(
        "sidecar", "Sidecar mudguard skins", "Two skins, left and right, to the old left one.", days.ahead(13)
    )
    cast.add_panel(
        job, "Mudguard skin", "aluminium", 1.6, "sweep", pair=True, lines=8, crown_radius_mm=355.0,
        turn_rad=radians(168), width_mm=235.0, flat_mm=65.0, drop_mm=72.0,
    )  # fmt: skip
    cast.photograph("old part", "layout", "before", cast.osk, job=job, taken=days.ago(35, 14, 15),
                    metal="aluminium", subject=Photo.Subject.OLD_PART, caption="The old left one, kinked")  # fmt: skip
    yield days.ago(33, 16, 0)
    quote = cast.send(cast.quote(job, "Two mudguard skins, left and right, made to your old part.",
                                 [_bought("Beaded edge, rolled outside", "85"),
                                  _bought("Primer, both sides", "120", option=True)]))  # fmt: skip
    yield days.ago(26, 20, 40)
    cast.agree(quote, "Corrie Aster", note="No hurry with the right one.", promised=days.ahead(13))
    yield days.ago(25, 9, 0)
    cast.pay_deposit(job)
    make_link(job, cast.osk)


def _dome(cast: Cast, found: dict[str, Job]) -> Story:
    days = cast.days
    yield days.ago(33, 8, 50)
    job = found["dome"] = cast.take_in(
        "bakery", "Copper oven dome", "For the new bread oven.", days.ahead(16), by_hours=True
    )
    cast.add_panel(job, "Oven dome", "copper", 1.0, "dome", lines=6, diameter_mm=840.0, height_mm=240.0,
                   finish="hammered", note="Leave a band of hammer marks at the rim.")  # fmt: skip
    cast.photograph("pattern", "layout", "before", cast.maro, job=job, taken=days.ago(33, 9, 15),
                    subject=Photo.Subject.PATTERN, caption="Section of the oven, cut in card")  # fmt: skip
    yield days.ago(31, 15, 30)
    quote = cast.send(cast.quote(job, "The dome for the oven in copper, hammer marks left to be seen.",
                                 [_bought("Chimney ring, spun", "140")]))  # fmt: skip
    yield days.ago(28, 7, 20)
    cast.agree(quote, "Bea Hearth", promised=days.ahead(16))
    yield days.ago(27, 9, 0)
    cast.pay_deposit(job)
    make_link(job, cast.osk)


def _hood(cast: Cast, found: dict[str, Job]) -> Story:
    days = cast.days
    yield days.ago(27, 13, 0)
    job = found["hood"] = cast.take_in("smithy", "Flue hood for the second fire", due_on=days.ahead(19))
    cast.add_panel(job, "Hood pan", "steel", 1.2, "tray", width_mm=520.0, length_mm=700.0, corner_radius_mm=170.0,
                   bend_radius_mm=8.0, depth_mm=36.0, bend_angle_rad=radians(90),
                   sides="front right back left", also=["Wiring"])  # fmt: skip
    yield days.ago(25, 16, 0)
    quote = cast.send(cast.quote(job, "The pan of the hood; you rivet it to your own stack."))
    yield days.ago(21, 18, 5)
    cast.agree(quote, "J. Saltings", promised=days.ahead(19))
    yield days.ago(20, 9, 0)
    cast.pay_deposit(job)


def _option_of(quote) -> str:
    """The key of the quote's one option."""
    line = quote.lines.get(is_option=True)
    return f"line-{line.pk}"


def at_the_bench(cast: Cast, jobs: dict[str, Job]) -> list[Story]:
    """The last days at the bench up to now: planned backwards, so that whatever the day, work is where it should be."""
    cap, fairing, dome, hood = (_panel(jobs[name]) for name in ("cap", "fairing", "dome", "hood"))
    left = _panel(jobs["sidecar"])
    right = left.mirrored_by
    osk = [
        *_layout(cast, cap, cast.osk, photograph=True), *_gathering(cast, cap, cast.osk),
        *_layout(cast, fairing, cast.osk, photograph=True), *_blending(cast, cap, cast.osk),
        *_over_its_range(cast, fairing), *_smoothing(cast, cap, Decimal("0.75")),
    ]  # fmt: skip
    maro = [
        *_layout(cast, dome, cast.maro), *_gathering(cast, dome, cast.maro, photograph=True),
        *_layout(cast, left, cast.maro, photograph=True), *_half_blended(cast, dome),
        *_layout(cast, right, cast.maro, photograph=True), *_gathering(cast, left, cast.maro, upto=4, photograph=True),
    ]  # fmt: skip
    linnet = _layout_begun(cast, hood)
    plans = ((osk, cast.osk), (maro, cast.maro), (linnet, cast.linnet))
    stories = [_backwards(cast, tasks, person) for tasks, person in plans]
    return [*stories, _clock_that_runs(cast, left), _hours_by_hand(cast, cap)]


def _backwards(cast: Cast, tasks: list[Task], person: Person) -> Story:
    until = cast.days.now - 1.2 * RUNNING_FOR
    return work_through(tasks, person, bench_before(cast.days, until, [task.hours for task in tasks]))


def _panel(job: Job) -> Panel:
    return Panel.objects.select_related("job", "metal", "mirrored_by__job", "mirrored_by__metal").get(
        job=job, mirrors=None
    )


def _stage(panel: Panel, slug: str) -> Stage:
    return next(stage for stage in stages_of(panel) if stage.kind.slug == slug)


def _layout(cast: Cast, panel: Panel, person: Person, *, photograph: bool = False) -> list[Task]:
    stage = _stage(panel, "layout")

    def done():
        finish_stage(stage, person)
        if photograph:
            _photograph(cast, stage, "after", person, "Blank cut and lined")

    return [Task(stage, true_hours(cast, stage), before=lambda: cut(panel, person), after=done)]


def _layout_begun(cast: Cast, panel: Panel) -> list[Task]:
    stage = _stage(panel, "layout")

    def so_far():
        set_progress(stage, cast.linnet, Decimal("0.5"))
        _photograph(cast, stage, "so-far", cast.linnet, "Lines on, not cut yet")

    return [
        Task(
            stage, round(true_hours(cast, stage) / 2, 2), before=lambda: cut(panel, cast.linnet), after=so_far
        )
    ]


def _gathering(cast: Cast, panel: Panel, person: Person, *, upto: int | None = None, hours: float | None = None,
               photograph: bool = False) -> list[Task]:  # fmt: skip
    """One task a pass: ticked, counted, and read on the tape."""
    stage = _stage(panel, "gathering")
    total = hours or true_hours(cast, stage) * ((upto or panel.pass_count) / panel.pass_count)
    last = upto or panel.pass_count
    tasks = []
    for number in range(1, last + 1):
        shown = photograph and number == last
        tasks.append(
            Task(stage, round(total / last, 2), after=_pass_done(cast, stage, number, person, shown))
        )
    return tasks


def _pass_done(cast: Cast, stage: Stage, number: int, person: Person, photograph: bool):
    panel = stage.panel

    def done():
        work, _ = plan_of(panel)
        planned = work.passes[number - 1].gathers
        tick_pass(panel, number, person, planned + cast.chance.choice((0, 0, 1, 2)) if planned else None)
        _read(cast, panel, number, person, work)
        if number == panel.pass_count:
            finish_stage(stage, person)
        if photograph:
            moment = "so-far" if number < panel.pass_count else "after"
            _photograph(cast, stage, moment, person, f"After pass {number}")

    return done


def _read(cast: Cast, panel: Panel, number: int, person: Person, work: Work) -> None:
    """A reading a little off its target, as readings are: the tape where there is an edge, else the gauge."""
    theirs = forming.readings_for(work)[:1]
    for kind in (name for name, known in FORMING_KIND.items() if known in theirs):
        target = forming.target_of(work, number, FORMING_KIND[kind])
        angle = kind == Reading.Kind.SECTION_ANGLE
        off = radians(cast.chance.gauss(0, 0.7)) if angle else cast.chance.gauss(0.4, 0.8)
        log_reading(panel, person, number, kind, round(target + off, 3 if angle else 1))


def _over_its_range(cast: Cast, panel: Panel) -> list[Task]:
    """The fairing: past the high end of its gathering with two passes to come."""
    stage = _stage(panel, "gathering")
    *before, last = _gathering(
        cast,
        panel,
        cast.osk,
        upto=panel.pass_count - 2,
        hours=1.4 * float(stage.budget_high_hours),
        photograph=True,
    )

    def done():
        last.after()
        add_note(stage, cast.osk, "The bow is fuller than the pattern: one round more on every line.")

    return [*before, replace(last, after=done)]


def _blending(cast: Cast, panel: Panel, person: Person) -> list[Task]:
    stage = _stage(panel, "blending")

    def done():
        finish_stage(stage, person)
        _photograph(cast, stage, "after", person, "Blended, ready for the wheel")

    return [Task(stage, true_hours(cast, stage), after=done)]


def _half_blended(cast: Cast, panel: Panel) -> list[Task]:
    stage = _stage(panel, "blending")

    def so_far():
        set_progress(stage, cast.maro, Decimal("0.4"))
        add_note(stage, cast.maro, "Band of hammer marks stays from the rim to 60 mm in, as they asked.")
        _photograph(cast, stage, "so-far", cast.maro, "One side worked, one to go", for_customer=True)

    return [Task(stage, round(0.42 * true_hours(cast, stage), 2), after=so_far)]


def _smoothing(cast: Cast, panel: Panel, share: Decimal) -> list[Task]:
    stage = _stage(panel, "smoothing")

    def so_far():
        set_progress(stage, cast.osk, share)
        _photograph(cast, stage, "so-far", cast.osk, "Left done, right to go", for_customer=True)

    return [Task(stage, round(float(share) * true_hours(cast, stage), 2), after=so_far)]


def _clock_that_runs(cast: Cast, left: Panel) -> Story:
    stage = _stage(left, "gathering")
    yield cast.days.now - RUNNING_FOR
    add_note(stage, cast.maro, "Start at the tail end: the front pulls in by itself.", for_other_hand=True)
    clock_in(stage, cast.maro)


def _hours_by_hand(cast: Cast, panel: Panel) -> Story:
    """Hours written down in the evening, and put right the next morning."""
    stage = _stage(panel, "smoothing")
    yield cast.days.now - timedelta(hours=1)
    entry = add_hours(
        stage, cast.osk, cast.days.today - timedelta(days=1), Decimal("1.5"), "At the wheel after five"
    )
    correct_entry(entry, cast.osk, "It was an hour, not one and a half", hours=Decimal("1.0"))


def _photograph(cast: Cast, stage: Stage, moment: str, person: Person, caption: str, **words) -> None:

    panel = stage.panel
    shows = "crown panel" if panel.form == "crown" else panel.form
    words.setdefault("subject", Photo.Subject.SO_FAR if moment == "so-far" else Photo.Subject.AFTER)
    cast.photograph(
        shows, stage.kind.slug, moment, person, job=panel.job, panel=panel, stage=stage, metal=panel.metal.family,
        taken=timezone.now() + STEP, caption=caption, **words,
    )  # fmt: skip
