"""Who works in the example shop, and who it works for. All of them are invented."""

from datetime import timedelta
from decimal import Decimal

from estimates.demo.moments import Days
from jobs.customers import keep_customer
from jobs.models import Customer
from shop.keeping import keep
from shop.models import DayOff, Person, Shop, StageKind
from shop.people import keep_person
from shop.rates import keep_stage
from shop.starting import start_shop

PASSWORD = "planish-the-dome"  # noqa: S105 - for trying only, and printed for everybody to read
TERMS = (
    "The deposit is due on acceptance, the rest when the work is collected. Collected from our shop unless a line "
    "says otherwise. What the metal shows only when it is worked is told to you before we go on."
)
CUSTOMERS = {
    "band": ("Ings Green Band", "stand@ingsgreen.example", "01 555 0147", "Bandstand Walk, Ings Green"),
    "boatyard": ("Reedling Boatyard", "yard@reedling.example", "01 555 0162", "The Staithe, Reedling"),
    "sidecar": ("Corrie Aster", "corrie@aster.example", "01 555 0119", "8 Tenter Row"),
    "bakery": ("Hearth Lane Bakery", "ovens@hearthlane.example", "01 555 0151", "2 Hearth Lane"),
    "cider": ("Pell & Sons, cider", "press@pell.example", "01 555 0138", "Windfall Farm"),
    "smithy": ("Saltings Smithy", "forge@saltings.example", "01 555 0175", "Saltings End"),
    "gliding": ("Hollow Down Gliding Club", "hangar@hollowdown.example", "01 555 0126", "Hollow Down"),
    "milkbar": ("Moonpenny Milk Bar", "counter@moonpenny.example", "01 555 0193", "11 Moonpenny Street"),
    "chapel": ("Lantern Chapel trustees", "trustees@lanternchapel.example", "", "Chapel Rise"),
    "garden": ("Withy Bank Gardens", "head@withybank.example", "01 555 0184", "Withy Bank"),
    "brewer": ("Teasel Brewhouse", "mash@teasel.example", "01 555 0108", "Maltings Yard"),
    "orchestra": ("Fallowmere Orchestra", "drums@fallowmere.example", "", "The Old Drill Hall, Fallowmere"),
}


def open_shop(days: Days) -> tuple[Shop, dict[str, Person]]:
    """Set the shop up with its three people: the owner, his daughter, and somebody three days a week."""
    shop = Shop(
        name="Drumlin & Daughter", address="4 Ings Green", phone="01 555 0134", email="osk@drumlin.example",
        time_zone="Europe/Dublin", tax_percent=Decimal("23"), overhead_percent=Decimal("8"),
        margin_percent=Decimal("15"), deposit_percent=Decimal("30"), consumables_per_hour=Decimal("2.50"),
        terms=TERMS,
    )  # fmt: skip
    osk = Person(
        username="osk", first_name="Osk", email="osk@drumlin.example", bench_hours_per_day=Decimal("5")
    )
    osk.set_password(PASSWORD)
    start_shop(shop, osk, per_hour=Decimal("54"), on=days.today - timedelta(days=900))
    maro = Person(username="maro", first_name="Maro", bench_hours_per_day=Decimal("6.5"))
    linnet = Person(
        username="linnet", first_name="Linnet", bench_hours_per_day=Decimal("4"), working_days="135"
    )
    for person in (maro, linnet):
        keep_person(person, osk, password=PASSWORD)
    wiring = {"name": "Wiring", "fixed_low_hours": Decimal("1.5"), "fixed_high_hours": Decimal("2.5")}
    keep_stage(StageKind(**wiring), wiring | {"per_hour": Decimal("54")}, osk)
    return shop, {"osk": osk, "maro": maro, "linnet": linnet}


def add_days_off(days: Days, people: dict[str, Person]) -> None:
    """Two days on which somebody or everybody is away."""
    for person, ahead, reason in (("maro", 9, "Sister's wedding"), (None, 18, "Stocktaking")):
        day = DayOff(person=people.get(person), date=days.ahead(ahead), reason=reason)
        keep(day, people["osk"], ["person", "date", "reason"], "day off")


def add_customers(osk: Person) -> dict[str, Customer]:
    """Everybody the shop works for, by a short word."""
    return {
        word: keep_customer(Customer(name=name, email=email, phone=phone, address=address), osk)
        for word, (name, email, phone, address) in CUSTOMERS.items()
    }
