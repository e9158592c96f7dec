"""The small cast of every test: an owner, a shaper, a stranger at the door, a customer, and a job to work on."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import settings

from jobs.models import Customer, Job, Panel
from jobs.numbers import save_with_number
from shop.models import GatherSize, LabourRate, Metal, Person, SheetStock, Shop, StageKind

# A machine that does much else at once is slow, not wrong.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

FOUR_STAGES = [
    # Invented rates for the tests only.
    ("Layout", "layout", StageKind.Driver.LAYOUT_M, 0.25),
    ("Gathering", "gathering", StageKind.Driver.MOVED_DM2, 0.9),
    ("Blending", "blending", StageKind.Driver.WORKED_DM2, 0.35),
    ("Smoothing", "smoothing", StageKind.Driver.FINISHED_DM2, 0.2),
]
PASSWORD = "planish-the-dome"
ARCH = {
    "outside_radius_mm": 330.0,
    "turn_rad": 1.5,
    "bend_radius_mm": 24.5,
    "bend_angle_rad": 1.5707963267948966,
    "depth_mm": 60.0,
    "stretch": False,
}


@pytest.fixture
def shop(db) -> Shop:
    """An invented shop with its four stages and their rates."""
    shop = Shop.objects.create(
        name="Drumlin & Daughter", time_zone="Europe/Dublin", tax_percent=Decimal("23"),
        overhead_percent=Decimal("8"), margin_percent=Decimal("15"), deposit_percent=Decimal("30"),
        consumables_per_hour=Decimal("2.50"),
    )  # fmt: skip
    for position, (name, slug, driver, rate) in enumerate(FOUR_STAGES, start=1):
        kind = StageKind.objects.create(
            name=name, slug=slug, position=position, driver=driver, hours_per_unit=rate
        )
        LabourRate.objects.create(stage_kind=kind, per_hour=Decimal("54"), holds_from=date(2020, 1, 1))
    return shop


@pytest.fixture
def owner(shop) -> Person:
    return Person.objects.create_user("osk", password=PASSWORD, first_name="Osk", role=Person.Role.OWNER)


@pytest.fixture
def shaper(shop) -> Person:
    return Person.objects.create_user("maro", password=PASSWORD, first_name="Maro", role=Person.Role.SHAPER)


@pytest.fixture
def owner_client(client, owner):
    client.force_login(owner)
    return client


@pytest.fixture
def shaper_client(shaper):
    from django.test import Client

    client = Client()
    client.force_login(shaper)
    return client


@pytest.fixture
def stranger_client(shop):
    from django.test import Client

    return Client()


@pytest.fixture
def aluminium(shop) -> Metal:
    metal = Metal.objects.create(
        name="Aluminium 1100-O", family=Metal.Family.ALUMINIUM, density_kg_m3=2710, elongation=0.35,
        bend_limits=[[1.5875, 0.0], [3.175, 0.5]], price_per_kg=Decimal("6.80"), source="reference values",
    )  # fmt: skip
    for method in GatherSize.Method.values:
        GatherSize.objects.create(metal=metal, method=method, gather_mm=5, die_width_mm=25)
    return metal


@pytest.fixture
def steel(shop) -> Metal:
    metal = Metal.objects.create(
        name="Steel 1008",
        family=Metal.Family.STEEL,
        density_kg_m3=7872,
        elongation=0.30,
        price_per_kg=Decimal("2.10"),
    )
    for method in GatherSize.Method.values:
        GatherSize.objects.create(metal=metal, method=method, gather_mm=4, die_width_mm=25)
    return metal


@pytest.fixture
def sheet(aluminium) -> SheetStock:
    return SheetStock.objects.create(
        metal=aluminium, thickness_mm=1.6, length_mm=2500, width_mm=1250, cost=Decimal("92"), place="rack 2"
    )


@pytest.fixture
def customer(shop) -> Customer:
    return Customer.objects.create(name="Tamsin Pell", email="tamsin@pell.example")


@pytest.fixture
def job(customer, owner) -> Job:
    return save_with_number(Job(customer=customer, title="Bow fairing", created_by=owner))


@pytest.fixture
def panel(job, aluminium, owner) -> Panel:
    """A gathered arch in 1.6 mm aluminium."""
    from jobs.panels import save_panel

    panel = Panel(
        job=job, name="Fairing skin", metal=aluminium, thickness_mm=1.6, form="arch", dimensions=dict(ARCH),
        trim_mm=19.05, line_count=3, gather_mm=5.0, die_width_mm=25.0,
    )  # fmt: skip
    return save_panel(panel, owner)
