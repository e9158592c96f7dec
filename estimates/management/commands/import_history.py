"""``manage.py import_history``: bring the shop's old notebook of past panels in."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from estimates.history import HistoryRefused, import_panels, plan_import
from shop.figures import counted
from shop.one_line import OneLineCommand, refuse


class Command(OneLineCommand):
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
            refuse(f"{options['file']}: {error.strerror}")
        except HistoryRefused as error:
            refuse(str(error))
        for row in plan.bad:
            self.stderr.write(f"line {row.line}: {row.reason}")
        if plan.ignored_columns:
            self.stderr.write(f"Columns not used: {', '.join(plan.ignored_columns)}")
        if plan.strange_words:
            self.stderr.write(plan.strange_words)
        for odd in plan.unlike:
            self.stderr.write(str(odd))
        for name in plan.differing:
            self.stderr.write(f"{name}: the book says otherwise and stays as it is")
        if plan.bad and not options["skip_bad"]:
            count = counted(len(plan.bad), "bad row")
            refuse(f"{count}; nothing is brought in. Mend them, or use --skip-bad.")
        known = f", {plan.known} in the book already" if plan.known else ""
        if options["dry_run"]:
            self.stdout.write(
                f"{counted(len(plan.new), 'panel')} would be brought in{known}. Nothing is written."
            )
            return
        self.stdout.write(f"{counted(import_panels(plan.new, None), 'panel')} brought in{known}.")
