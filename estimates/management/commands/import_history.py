"""``manage.py import_history``: bring the shop's old notebook of past panels in."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from estimates.history import HistoryRefused, import_panels, plan_import
from shop.figures import counted


class Command(BaseCommand):
    help = "Bring past panels in from a CSV file. Bringing the same file in twice changes nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE.csv")
        parser.add_argument("--dry-run", action="store_true", help="say what would happen and write nothing")
        parser.add_argument(
            "--skip-bad", action="store_true", help="leave bad rows out and bring in the rest"
        )

    def handle(self, **options: Any) -> None:
        try:
            plan = plan_import(options["file"].read_bytes())
        except OSError as error:
            raise CommandError(f"{options['file']}: {error.strerror}", returncode=2) from error
        except HistoryRefused as error:
            raise CommandError(str(error), returncode=2) from error
        for row in plan.bad:
            self.stderr.write(f"line {row.line}: {row.reason}")
        if plan.ignored_columns:
            self.stderr.write(f"Columns not used: {', '.join(plan.ignored_columns)}")
        if plan.strange_words:
            self.stderr.write(plan.strange_words)
        for name in plan.differing:
            self.stderr.write(f"{name}: the book says otherwise and stays as it is")
        if plan.bad and not options["skip_bad"]:
            raise CommandError(
                f"{counted(len(plan.bad), 'bad row')}; nothing is brought in. Mend them, or use --skip-bad.",
                returncode=2,
            )
        known = f", {plan.known} in the book already" if plan.known else ""
        if options["dry_run"]:
            self.stdout.write(
                f"{counted(len(plan.new), 'panel')} would be brought in{known}. Nothing is written."
            )
            return
        self.stdout.write(f"{counted(import_panels(plan.new, None), 'panel')} brought in{known}.")
