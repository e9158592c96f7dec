"""The photographs of the example shop: drawn at last, two at a time, and kept as if a phone had sent them."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import datetime, timedelta
from multiprocessing import get_context

from django.core.files.base import ContentFile
from django.utils import timezone

from estimates.demo.cast import Wish
from estimates.demo.moments import it_is
from estimates.demo.pictures import jpeg
from jobs.photos import add_photo, all_or_none

PROCESSES = 2
SIZE = (1200, 900)


def draw_and_keep(
    wishes: Sequence[Wish], size: tuple[int, int], now: datetime, said: Callable[[int, int], None]
) -> None:
    """Draw every photograph wished for and keep it, all or none; ``said`` is told how many of how many are done."""
    wishes = sorted(wishes, key=lambda wish: wish.taken)
    with all_or_none() as kept:
        for wish, data in zip(wishes, _drawn(wishes, size), strict=True):
            file = ContentFile(data, name="phone.jpg")
            with it_is(min(wish.taken + timedelta(minutes=1), now)):
                kept.append(
                    add_photo(
                        wish.job, file, person=wish.person, panel=wish.panel, stage=wish.stage,
                        subject=wish.subject, caption=wish.caption, for_customer=wish.for_customer,
                    )
                )  # fmt: skip
            said(len(kept), len(wishes))


def _drawn(wishes: Sequence[Wish], size: tuple[int, int]) -> Iterator[bytes]:
    # Fresh processes, since a copy of this one would hold the open database as well.
    with ProcessPoolExecutor(PROCESSES, get_context("spawn")) as pool:
        drawing = [
            pool.submit(
                jpeg, wish.shows, wish.at_stage, metal=wish.metal, moment=wish.moment, seed=wish.seed,
                taken=timezone.localtime(wish.taken), size=size,
            )
            for wish in wishes
        ]  # fmt: skip
        for each in drawing:
            yield each.result()
