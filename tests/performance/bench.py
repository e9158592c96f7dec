"""``make bench``: what the book costs, each figure beside its bare counterpart in the same run.

Ends with status 1 where a bar is broken. The database is a file of its own and gone afterwards.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))


def main() -> int:
    with tempfile.TemporaryDirectory(prefix="gatherbook-bench-") as folder:
        os.environ |= {"GATHERBOOK_VAR": folder, "DJANGO_SETTINGS_MODULE": "shop.settings"}
        os.environ.pop("GATHERBOOK_DATABASE_URL", None)
        os.environ.pop("GATHERBOOK_DEBUG", None)
        import django

        django.setup()
        return _run()


def _run() -> int:
    import logging

    from django.core.management import call_command

    from tests.performance import big_book, pages, pure
    from tests.performance.measure import table

    logging.disable(logging.WARNING)
    print("Figures of the pure packages ...", flush=True)
    figures = [*pure.forms(), pure.learning(), pure.dates()]
    print("A book of 2,000 jobs and 100,000 time entries ...", flush=True)
    call_command("prepare", verbosity=0, stdout=open(os.devnull, "w"))  # noqa: SIM115
    cast = big_book.fill()
    print("Pages and papers ...", flush=True)
    figures += pages.all_of_them(cast)
    print()
    print(table(figures))
    broken = sum(not one.held for one in figures)
    print(f"\n{len(figures)} figures, " + ("every bar held." if not broken else f"{broken} broken."))
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
