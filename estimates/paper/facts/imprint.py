"""What every paper of the shop carries."""

from datetime import datetime

from django.utils import timezone

from estimates.paper.document import Imprint
from estimates.paper.page import SIZES
from shop.figures import day
from shop.models import Shop


def imprint_of(shop: Shop, at: datetime | None = None) -> Imprint:
    """The shop's name, language and sheet, and the moment of printing on the shop's clock."""
    moment = timezone.localtime(at or timezone.now())
    return Imprint(
        shop=shop.name, printed=f"{day(moment.date())} {moment.year} {moment:%H:%M}", language=shop.language or "en",
        paper=SIZES[shop.paper], units=shop.units,
    )  # fmt: skip
