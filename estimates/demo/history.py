"""Some forty panels of the past: an old notebook brought in, and ten jobs quoted, worked and closed in this book.

The shop works at rates of its own (``TRUE_RATE``), which its first rates only guess at; each panel goes better or
worse than those, and each of its stages again.
"""

from dataclasses import dataclass, field
from datetime import timedelta
from math import exp, radians

from django.db import transaction

from estimates.closing import close_job
from estimates.demo.bench import Bench, Task, work_through
from estimates.demo.cast import Cast
from estimates.demo.metals_and_sheets import cut
from estimates.demo.moments import Story, it_is
from estimates.lessons import Verdict
from estimates.models import PastPanel
from jobs.forming import Marking, build, work_out
from jobs.models import Job, Panel, Photo, Stage
from jobs.panels import MM2_PER_DM2, sheet_of
from jobs.progress import finish_stage
from shop.audit import record

TRUE_RATE = {"layout": 0.22, "gathering": 1.9, "blending": 0.15, "smoothing": 0.11}
BY_METAL = {
    "aluminium": 1.0, "copper": 0.95, "zinc": 0.9, "brass": 1.15, "steel": 1.3, "galvanized": 1.3, "stainless": 1.6,
}  # fmt: skip
BY_POWER = {"gathering": 0.6, "blending": 0.75}
BY_FINISH = {"hammered": 0.5, "smooth": 1.0, "bright": 1.6}
SECOND_HAND = 0.87
OF_PANEL, OF_STAGE = (
    0.10,
    0.17,
)  # how far a panel, and each stage of it, strays: standard deviation of the logarithm


@dataclass(frozen=True, slots=True)
class Made:
    """A panel of the old notebook."""

    name: str
    metal: str
    thickness_mm: float
    form: str
    dimensions: dict = field(default_factory=dict)
    method: str = "hand"
    finish: str = "smooth"
    pair: bool = False


def _dome(diameter_mm: float, height_mm: float) -> dict:
    return {"diameter_mm": diameter_mm, "height_mm": height_mm}


def _crown(width_mm: float, length_mm: float, width_height_mm: float, length_height_mm: float) -> dict:
    return {
        "width_mm": width_mm, "length_mm": length_mm, "width_height_mm": width_height_mm,
        "length_height_mm": length_height_mm,
    }  # fmt: skip


def _arch(
    outside_radius_mm: float, turn: float, bend_radius_mm: float, depth_mm: float, stretch: bool = False
) -> dict:
    return {
        "outside_radius_mm": outside_radius_mm, "turn_rad": radians(turn), "bend_radius_mm": bend_radius_mm,
        "bend_angle_rad": radians(90), "depth_mm": depth_mm, "stretch": stretch,
    }  # fmt: skip


def _sweep(crown_radius_mm: float, turn: float, width_mm: float, flat_mm: float, drop_mm: float) -> dict:
    return {
        "crown_radius_mm": crown_radius_mm, "turn_rad": radians(turn), "width_mm": width_mm, "flat_mm": flat_mm,
        "drop_mm": drop_mm,
    }  # fmt: skip


def _tray(width_mm: float, length_mm: float, corner_radius_mm: float, depth_mm: float) -> dict:
    return {
        "width_mm": width_mm, "length_mm": length_mm, "corner_radius_mm": corner_radius_mm, "bend_radius_mm": 6.0,
        "depth_mm": depth_mm, "bend_angle_rad": radians(90), "sides": "front right back left",
    }  # fmt: skip


NOTEBOOK = [
    Made("Lamp hood, quay", "copper", 0.8, "dome", _dome(380, 90)),
    Made("Kettledrum bowl, large", "copper", 1.0, "dome", _dome(690, 290)),
    Made("Kettledrum bowl, small", "copper", 1.0, "dome", _dome(620, 260)),
    Made("Sidecar nose", "aluminium", 1.6, "dome", _dome(520, 150)),
    Made("Tandem mudguard", "aluminium", 1.2, "sweep", _sweep(345, 150, 90, 30, 22)),
    Made("Milk float mudguard", "aluminium", 1.6, "sweep", _sweep(310, 165, 210, 80, 55), pair=True),
    Made("Boat tank end", "steel", 1.2, "dome", _dome(420, 60)),
    Made("Drip tray", "galvanized", 1.0, "tray", _tray(420, 600, 110, 30)),
    Made("Engine cover, launch", "aluminium", 1.6, "crown", _crown(620, 980, 70, 45), method="power"),
    Made("Bench back, curved", "steel", 1.2, "crown", _crown(480, 1300, 40, 60)),
    Made("Bell mouth", "brass", 1.0, "arch", _arch(210, 360, 18, 40, True), finish="bright"),
    Made("Cupola segment", "copper", 0.8, "crown", _crown(520, 900, 60, 80)),
    Made("Cupola segment, second", "copper", 0.8, "crown", _crown(520, 900, 60, 80)),
    Made("Finial base", "zinc", 0.8, "dome", _dome(300, 75)),
    Made("Gutter hopper front", "zinc", 0.8, "arch", _arch(260, 180, 14, 60)),
    Made("Hatch skin", "aluminium", 1.6, "crown", _crown(560, 700, 35, 25), method="power", pair=True),
    Made("Tea urn lid", "copper", 1.0, "dome", _dome(260, 50), finish="bright"),
    Made("Fountain bowl", "copper", 1.2, "dome", _dome(800, 190), finish="hammered"),
    Made("Ship's vent cowl", "steel", 1.2, "arch", _arch(330, 180, 25, 70)),
    Made("Signal lamp hood", "steel", 1.0, "roll", {"width_mm": 260.0, "radius_mm": 110.0, "turn_rad": radians(200)}),
    Made("Letter plate surround", "brass", 1.0, "tray", _tray(180, 320, 60, 18), finish="bright"),
    Made("Stove apron", "stainless", 1.0, "arch", _arch(400, 120, 20, 45)),
    Made("Counter front", "stainless", 1.0, "roll", {"width_mm": 820.0, "radius_mm": 450.0, "turn_rad": radians(90)}),
    Made("Weir gauge cover", "steel", 1.0, "dome", _dome(340, 45)),
    Made("Sundial bowl", "copper", 1.0, "dome", _dome(450, 100), finish="hammered"),
]  # fmt: skip


def hours_taken(
    cast: Cast, stage: str, amount: float, metal: str, method: str, finish: str, hand_order: int
) -> float:
    """What a stage really takes in this shop, with its own luck."""
    factor = BY_METAL[metal] * (BY_POWER.get(stage, 1.0) if method == "power" else 1.0)
    factor *= BY_FINISH[finish] if stage == "smoothing" else 1.0
    factor *= SECOND_HAND if hand_order == 2 else 1.0
    return max(0.05, TRUE_RATE[stage] * amount * factor * exp(cast.chance.gauss(0, OF_STAGE)))


def true_hours(cast: Cast, stage: Stage, luck: float = 1.0) -> float:
    """What a stage of a panel in this book really takes, to a hundredth."""
    panel, slug = stage.panel, stage.kind.slug
    amount = getattr(panel, stage.kind.driver)
    taken = hours_taken(cast, slug, amount, panel.metal.family, panel.method, panel.finish, panel.hand_order)
    return round(taken * luck, 2)


@transaction.atomic
def bring_the_notebook_in(cast: Cast) -> None:
    """Old panels with the hours they took; one of them fell on the floor and says nothing about the next."""
    rows = []
    days_ago = 880
    for made in NOTEBOOK:
        for hand_order in (1, 2) if made.pair else (1,):
            rows.append(_past(cast, made, hand_order, cast.days.today - timedelta(days=days_ago)))
            days_ago -= 21
    dropped = next(row for row in rows if row.name == "Finial base")
    dropped.left_out_reason = "Dropped on the floor and made twice"
    dropped.gathering_hours = round(dropped.gathering_hours * 2.4, 1)
    with it_is(cast.days.ago(300)):
        for row in rows:
            row.save()
        record(cast.osk, f"brought in {len(rows)} past panels of", cast.shop)


def _past(cast: Cast, made: Made, hand_order: int, finished_on) -> PastPanel:
    metal = cast.metals[made.metal]
    work = work_out(build(made.form, made.dimensions), sheet_of(metal, made.thickness_mm), Marking())
    drivers = {
        "layout_m": work.layout_length_mm / 1000,
        "moved_dm2": work.moved_area_mm2 / MM2_PER_DM2,
        "worked_dm2": work.worked_area_mm2 / MM2_PER_DM2,
        "finished_dm2": work.finished_area_mm2 / MM2_PER_DM2,
    }
    luck = exp(cast.chance.gauss(0, OF_PANEL))
    taken = {
        stage: luck * hours_taken(cast, stage, amount, made.metal, made.method, made.finish, hand_order)
        for stage, amount in zip(TRUE_RATE, drivers.values(), strict=True)
        if amount > 0.001
    }
    hand = {1: ", left", 2: ", right"}[hand_order] if made.pair else ""
    return PastPanel(
        origin=PastPanel.Origin.IMPORTED, name=made.name + hand, finished_on=finished_on, metal=made.metal,
        method=made.method, finish=made.finish, hand_order=hand_order,
        **{name: round(value, 3) for name, value in drivers.items()},
        **{f"{stage}_hours": max(0.1, round(hours, 1)) for stage, hours in taken.items()},
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Order:
    """A job of the past: who, what, its one panel or pair, who made it, and how many days ago they asked."""

    customer: str
    title: str
    made: Made
    by: str
    asked: int
    signed: str


ORDERS = [
    Order("boatyard", "Lantern roof for the boathouse",
          Made("Lantern roof", "copper", 0.8, "dome", _dome(760, 170)), "maro", 268, "R. Reedling"),
    Order("garden", "Mudguards for the hand carts",
          Made("Cart mudguard", "galvanized", 1.0, "sweep", _sweep(290, 140, 140, 50, 30), pair=True), "osk", 246,
          "Ivo Withy"),
    Order("smithy", "Cowl for the coal chute",
          Made("Chute cowl", "steel", 1.2, "arch", _arch(360, 180, 25, 80)), "osk", 224, "J. Saltings"),
    Order("brewer", "Mash tun lid",
          Made("Mash tun lid", "copper", 1.0, "dome", _dome(820, 140)), "maro", 203, "M. Teasel"),
    Order("boatyard", "Engine cover, day boat",
          Made("Engine cover", "aluminium", 1.6, "crown", _crown(580, 900, 65, 50), method="power"), "osk", 180,
          "R. Reedling"),
    Order("chapel", "Font cover",
          Made("Font cover", "brass", 1.0, "dome", _dome(540, 120), finish="bright"), "maro", 157, "For the trustees"),
    Order("garden", "Corner flashings for the palm house",
          Made("Corner flashing", "zinc", 0.8, "arch", _arch(300, 90, 16, 55, True), pair=True), "maro", 136,
          "Ivo Withy"),
    Order("milkbar", "Tray for the ice well",
          Made("Ice well tray", "stainless", 1.0, "tray", _tray(420, 560, 130, 30)), "osk", 118, "Penny Moon"),
    Order("orchestra", "Kettledrum bowl, new",
          Made("Kettledrum bowl", "copper", 1.0, "dome", _dome(640, 270)), "maro", 100, "N. Fallow"),
    Order("boatyard", "Hatch skins, left and right",
          Made("Hatch skin", "aluminium", 1.6, "crown", _crown(540, 720, 40, 30), method="power", pair=True), "osk", 76,
          "R. Reedling"),
]  # fmt: skip


def past_jobs(cast: Cast) -> list[Story]:
    """Ten jobs from enquiry to closing."""
    start = cast.days.ago(270)
    benches = {name: Bench(cast.days.sessions_after(start)) for name in ("osk", "maro")}
    return [_from_enquiry_to_closing(cast, order, benches[order.by]) for order in ORDERS]


def _from_enquiry_to_closing(cast: Cast, order: Order, bench: Bench) -> Story:
    days, person = cast.days, cast.people[order.by]
    yield days.ago(order.asked, 9, 40)
    job = cast.take_in(order.customer, order.title, due_on=days.today - timedelta(days=order.asked - 35))
    made = order.made
    cast.add_panel(job, made.name, made.metal, made.thickness_mm, made.form, pair=made.pair, method=made.method,
                   finish=made.finish, **made.dimensions)  # fmt: skip
    yield days.ago(order.asked - 1, 16, 20)
    quote = cast.send(cast.quote(job, f"{order.title}, as talked over."))
    yield days.ago(order.asked - 4, 11, 15)
    cast.agree(quote, order.signed, promised=days.today - timedelta(days=order.asked - 30))
    yield days.ago(order.asked - 5, 9, 5)
    cast.pay_deposit(job)
    yield from work_through(_tasks(cast, job), person, bench, after=days.ago(order.asked - 6, 8, 0))
    done = Stage.objects.filter(panel__job=job).latest("done_at").done_at
    first = job.panels.first()
    cast.photograph(
        "crown panel" if made.form == "crown" else made.form, "smoothing", "after", person, job=job, panel=first,
        stage=first.stages.get(kind__slug="smoothing"), metal=_seen_as(made.metal), taken=done + timedelta(minutes=4),
        subject=Photo.Subject.AFTER, caption="Done", for_customer=True,
    )  # fmt: skip
    yield done + timedelta(days=1)
    cast.pay_the_rest(job)
    yield done + timedelta(days=1, minutes=20)
    teach = dict.fromkeys(job.panels.values_list("pk", flat=True), Verdict(teaches=True))
    close_job(Job.objects.get(pk=job.pk), cast.osk, verdicts=teach)


def _seen_as(metal: str) -> str:
    """Sheet that is drawn as another: neither zinc coating nor chromium shows in a picture this size."""
    return {"galvanized": "zinc", "stainless": "steel"}.get(metal, metal)


def _tasks(cast: Cast, job: Job) -> list[Task]:
    tasks = []
    for panel in Panel.objects.filter(job=job).select_related("job", "metal"):
        luck = exp(cast.chance.gauss(0, OF_PANEL))
        for number, stage in enumerate(stages_of(panel)):
            tasks.append(
                Task(
                    stage,
                    true_hours(cast, stage, luck),
                    before=(lambda panel=panel: cut(panel, cast.osk)) if number == 0 else (lambda: None),
                    after=lambda stage=stage: finish_stage(stage, cast.osk),
                )
            )
    return tasks


def stages_of(panel: Panel) -> list[Stage]:
    """The panel's stages in order, with all that is needed to work on them."""
    rows = Stage.objects.filter(panel=panel).select_related("kind", "panel__job", "panel__metal")
    return list(rows.order_by("kind__position"))
