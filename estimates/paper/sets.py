"""The whole set of a job, made part by part while somebody watches, and kept until the next is made."""

import re
import secrets
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass

from django.core.files import File
from django.core.files.storage import default_storage

from estimates.paper.document import written
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.job_set import job_set
from estimates.paper.facts.work_order import Address
from jobs.models import Job
from shop.models import Shop

NAME = re.compile(r"[0-9a-f]{32}")
IN_MEMORY = 4 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Made:
    """One part that is drawn: which, of how many, and its title."""

    number: int
    count: int
    title: str


@dataclass(frozen=True, slots=True)
class Finished:
    """The set as it is kept: the name to fetch it by, and its size."""

    name: str
    size: int


def make_set(job: Job, shop: Shop, address: Address) -> Iterator[Made | Finished]:
    """Draw the set part by part; the last thing given is the finished file.

    Memory holds the part being drawn and the packed pages of those before it. The set made before is taken away.
    """
    count, documents = job_set(job, shop, address)
    imprint = imprint_of(shop)
    with tempfile.SpooledTemporaryFile(max_size=IN_MEMORY) as file:
        title = f"Work orders {job}"
        for number, document in enumerate(written(documents, file, title=title, imprint=imprint), start=1):
            yield Made(number, count, document.title)
        size = file.tell()
        file.seek(0)
        yield Finished(_keep(job, File(file)), size)


def open_set(job: Job, name: str) -> File:
    """Open a finished set; raises ``FileNotFoundError`` where there is none by that name any more."""
    path = f"{_folder(job)}/{name}.pdf"
    if not NAME.fullmatch(name) or not default_storage.exists(path):
        raise FileNotFoundError(path)
    return default_storage.open(path, "rb")


def _folder(job: Job) -> str:
    return f"papers/{job.number}"


def _keep(job: Job, file: File) -> str:
    folder, name = _folder(job), secrets.token_hex(16)
    older = _files_in(folder)
    default_storage.save(f"{folder}/{name}.pdf", file)
    for each in older:
        default_storage.delete(f"{folder}/{each}")
    return name


def _files_in(folder: str) -> list[str]:
    try:
        return default_storage.listdir(folder)[1]
    except FileNotFoundError:
        return []
