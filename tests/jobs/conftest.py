"""A panel that has come to the bench: its four stages with invented budgets."""

from decimal import Decimal

import pytest

from jobs.models import Job, Stage
from shop.models import StageKind

BUDGETS = {"layout": (1, 2), "gathering": (12, 16), "blending": (7, 10), "smoothing": (5, 8)}


@pytest.fixture
def give_stages():
    """Bring a panel to the bench, as accepting its quote does; returns its stages by slug."""

    def give(panel) -> dict[str, Stage]:
        panel.job.state = Job.State.IN_WORK
        panel.job.save()
        return {
            kind.slug: Stage.objects.create(
                panel=panel, kind=kind,
                budget_low_hours=Decimal(BUDGETS[kind.slug][0]), budget_high_hours=Decimal(BUDGETS[kind.slug][1]),
            )
            for kind in StageKind.objects.filter(slug__in=BUDGETS)
        }  # fmt: skip

    return give


@pytest.fixture
def stages(panel, give_stages) -> dict[str, Stage]:
    return give_stages(panel)


@pytest.fixture
def gathering(stages) -> Stage:
    return stages["gathering"]
