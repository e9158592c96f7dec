"""What has not come to the bench of the example shop: enquiries, quotes that wait, a no, and a yes of yesterday."""

from datetime import timedelta
from decimal import Decimal
from math import radians

from estimates.answers import ask, decline, reply_to
from estimates.demo.cast import Cast
from estimates.demo.moments import Story
from estimates.drafts import override_line
from estimates.models import QuoteLine
from estimates.quoting.figures import panel_key
from jobs.models import Photo


def on_the_desk(cast: Cast) -> list[Story]:
    """All of them; the days are counted back from today."""
    return [
        _fairings(cast), _counter(cast), _weathervane(cast), _cowl(cast), _trough(cast), _fountain(cast), _ladle(cast),
    ]  # fmt: skip


def _fairings(cast: Cast) -> Story:
    """Waits ten days, with a question answered and one that is not."""
    days = cast.days
    yield days.ago(14, 10, 0)
    job = cast.take_in(
        "gliding", "Wing-root fairings, glider", "Left and right, to the old ones.", days.ahead(40)
    )
    panel = cast.add_panel(
        job, "Wing-root fairing", "aluminium", 1.2, "crown", pair=True, lines=5, width_mm=360.0, length_mm=1150.0,
        width_height_mm=85.0, length_height_mm=70.0, note="Fits only with the inspector's own drawing.",
    )  # fmt: skip
    cast.photograph("old part", "layout", "before", cast.osk, job=job, taken=days.ago(14, 10, 30), metal="aluminium",
                    subject=Photo.Subject.OLD_PART, caption="The old left one")  # fmt: skip
    yield days.ago(10, 15, 10)
    draft = cast.quote(job, "Two fairings, left and right. Fitting and approval are yours to arrange.")
    override_line(
        draft, cast.osk, cast.shop, panel_key(panel, "layout"), reason="Two evenings at the hangar to take the lines",
        low_hours=Decimal("6"), high_hours=Decimal("8"),
    )  # fmt: skip
    draft.refresh_from_db()
    quote = cast.send(draft)
    yield days.ago(8, 19, 30)
    question = ask(quote, text="Would 1.0 mm do? The old ones are thinner.", name="Fen Hollow")
    yield days.ago(7, 8, 40)
    reply_to(question, cast.osk, "It would, but the trailing edge would drum. We would stay with 1.2.")
    yield days.ago(1, 18, 10)
    ask(quote, text="Could we bring the fuselage frame, so that you can try the fit?", name="Fen Hollow")


def _counter(cast: Cast) -> Story:
    days = cast.days
    yield days.ago(9, 12, 0)
    job = cast.take_in("milkbar", "Counter end, milk bar", due_on=days.ahead(30))
    cast.add_panel(job, "Counter end", "stainless", 1.0, "roll", finish="bright", width_mm=900.0, radius_mm=300.0,
                   turn_rad=radians(150))  # fmt: skip
    cast.add_panel(job, "Kick plate", "stainless", 1.0, "fold", finish="bright", width_mm=850.0,
                   leg_mm=[18.0, 140.0, 18.0], bend_radius_mm=2.0)  # fmt: skip
    yield days.ago(6, 11, 0)
    lines = [
        QuoteLine(kind=QuoteLine.Kind.BOUGHT_IN, label="Wooden former, turned", amount=Decimal("180")),
        QuoteLine(kind=QuoteLine.Kind.DISCOUNT, label="Second order this year", percent=Decimal("4"),
                  reason="Came back within a year"),
    ]  # fmt: skip
    cast.send(
        cast.quote(job, "One counter end with its kick plate, polished, and the former we bend it on.", lines)
    )


def _weathervane(cast: Cast) -> Story:
    days = cast.days
    yield days.ago(5, 9, 15)
    job = cast.take_in("chapel", "Ball for a weathervane", "Two halves, soldered here.", days.ahead(35))
    for name in ("Upper half", "Lower half"):
        cast.add_panel(job, name, "copper", 0.8, "dome", lines=5, diameter_mm=300.0, height_mm=130.0)
    cast.photograph("old part", "layout", "before", cast.maro, job=job, taken=days.ago(5, 9, 40),
                    subject=Photo.Subject.OLD_PART, caption="What is left of the old ball")  # fmt: skip
    yield days.ago(2, 16, 45)
    gilding = QuoteLine(kind=QuoteLine.Kind.BOUGHT_IN, label="Gilding", amount=Decimal("260"), is_option=True)
    cast.send(cast.quote(job, "A ball of two halves, soldered and scraped.", [gilding]))


def _cowl(cast: Cast) -> Story:
    """Agreed yesterday: no deposit yet, no sheet on the rack."""
    days = cast.days
    yield days.ago(17, 10, 20)
    job = cast.take_in("cider", "Cowl for the cider press", "Over the screw, to the drawing.", days.ahead(21))
    cast.add_panel(job, "Press cowl", "copper", 1.2, "arch", outside_radius_mm=410.0, turn_rad=radians(180),
                   bend_radius_mm=25.0, bend_angle_rad=radians(90), depth_mm=105.0, stretch=False)  # fmt: skip
    cast.photograph("pattern", "layout", "before", cast.osk, job=job, taken=days.ago(17, 10, 45),
                    subject=Photo.Subject.PATTERN, caption="Their drawing, cut out")  # fmt: skip
    yield days.ago(13, 14, 0)
    quote = cast.send(cast.quote(job, "One cowl in copper 1.2, edge left square for your beading."))
    yield days.ago(1, 9, 50)
    cast.agree(quote, "Tamsin Pell", note="Before the first pressing, please.", promised=days.ahead(21))


def _trough(cast: Cast) -> Story:
    days = cast.days
    yield days.ago(24, 9, 0)
    job = cast.take_in("garden", "Trough end, galvanized")
    cast.add_panel(job, "Trough end", "galvanized", 1.0, "tray", width_mm=380.0, length_mm=520.0,
                   corner_radius_mm=120.0, bend_radius_mm=6.0, depth_mm=30.0, bend_angle_rad=radians(90),
                   sides="front right back left")  # fmt: skip
    yield days.ago(22, 11, 0)
    quote = cast.send(cast.quote(job, "One trough end, corners gathered."))
    yield days.ago(15, 13, 30)
    decline(quote, name="Ivo Withy", note="We patch the old one for another year.")


def _fountain(cast: Cast) -> Story:
    """An enquiry with its panel figured and a draft begun."""
    days = cast.days
    yield days.ago(4, 15, 30)
    job = cast.take_in("garden", "Rim for the lower fountain", "Turned outwards all round.", days.ahead(45))
    cast.add_panel(job, "Fountain rim", "brass", 1.0, "arch", outside_radius_mm=330.0, turn_rad=radians(180),
                   bend_radius_mm=20.0, bend_angle_rad=radians(70), depth_mm=45.0, stretch=True,
                   web_mm=40.0)  # fmt: skip
    yield days.ago(3, 17, 0)
    cast.quote(job, "Half of the rim; the other half is its like.")


def _ladle(cast: Cast) -> Story:
    """An enquiry that nobody has looked at yet."""
    days = cast.days
    yield days.ago(1, 16, 5)
    job = cast.take_in(
        "brewer", "Ladle bowl, big", "They bring the old one on Friday.", days.today + timedelta(days=28)
    )
    cast.photograph("old part", "layout", "before", cast.osk, job=job, taken=days.ago(1, 16, 20),
                    subject=Photo.Subject.OLD_PART, caption="From their message")  # fmt: skip
