"""Work out a shape from the command line: figures as JSON for scripts and spreadsheets, patterns as files."""

from __future__ import annotations

import json
import os
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any, NoReturn

from jobs.blank_help import KEYS_HEAD, METAVARS, forms_help, help_of, keys_help
from jobs.blank_options import (
    STEEL_KG_M3,
    density_help,
    density_of,
    length,
    missing,
    number,
    optional_number,
    read,
    thickness,
    whole_number,
)
from jobs.blank_units import INCHES
from jobs.forming import FORMS, ImpossibleShape, Marking, Sheet, Work, build, work_out
from jobs.forming.dimension import Dimension
from jobs.forming.errors import WriteLength, in_millimetres
from jobs.forming.report import as_json
from jobs.forming.said import in_lines
from shop.gauges import GAUGED, format_thickness
from shop.lengths import Units, format_length
from shop.one_line import OneLineCommand, refuse
from shop.whole_files import write_whole

PATTERNS = ("svg", "dxf", "pdf")


class Command(OneLineCommand):
    help = "Work out what a shape asks of the metal. Lengths as the trade writes them (a bare number is mm)."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        # Django's own formatter would run the lists below into one paragraph.
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = f"each form takes\n{forms_help()}\n\n{KEYS_HEAD}\n{keys_help()}"
        parser.add_argument("form", metavar="FORM", help=", ".join(FORMS))
        parser.add_argument("--json", action="store_true", help="print one JSON object")
        parser.add_argument(
            "--units",
            choices=("mm", "in"),
            default="mm",
            help="what is written for reading, here and on patterns, mm; the JSON's figures stay in mm",
        )
        for kind in PATTERNS:
            parser.add_argument(f"--{kind}", metavar="FILE", help=f"write the flat pattern as {kind.upper()}")
        sheet = parser.add_argument_group("sheet and marking")
        sheet.add_argument(
            "--thickness", metavar="LENGTH", help="sheet thickness (required), or a gauge: 18 ga"
        )
        sheet.add_argument("--family", metavar="METAL", help=f"what the sheet is of: {', '.join(GAUGED)}")
        sheet.add_argument("--trim", metavar="LENGTH", default="19.05", help="trim all round, 19.05 mm")
        sheet.add_argument("--gather", metavar="LENGTH", default="5", help="taken by one gather, 5 mm")
        sheet.add_argument(
            "--die-width", metavar="LENGTH", default="25", help="closest two gathers stand, 25 mm"
        )
        sheet.add_argument("--lines", metavar="NUMBER", default="3", help="lines to work along, 3")
        sheet.add_argument("--elongation", metavar="FRACTION", help="total elongation of the metal, as 0.25")
        sheet.add_argument("--min-bend", metavar="TIMES", help="least inside bend radius over thickness")
        sheet.add_argument("--density", metavar="KG/M3", help=density_help())
        shape = parser.add_argument_group("dimensions")
        for dimensions in dimensions_by_option().values():
            add_dimension(shape, next(iter(dimensions.values())), help_of(dimensions))

    def handle(self, *args: object, **options: Any) -> None:
        units: Units = options["units"]
        write_length = partial(format_length, units=units) if units == "in" else in_millimetres
        files = pattern_files(options)
        try:
            work = work_from(options)
            write_files(work, files, units, write_length)
        except ImpossibleShape as error:
            refuse(error.say(write_length))
        report = as_json(work, write_length)
        if options["json"]:
            self.say(json.dumps(report, allow_nan=False))
            return
        figures = in_lines(report, INCHES if units == "in" else None)
        self.say("\n".join((*figures, *(f"Pattern written to {path}" for path in files.values()))))

    def refuse_arguments(self, message: str) -> NoReturn:
        if message.endswith("required: FORM"):
            message = f"Say which form: {', '.join(FORMS)}."
        super().refuse_arguments(message)


def dimensions_by_option() -> dict[str, dict[str, Dimension]]:
    """Return every option once, with the dimension it stands for in each form that has it."""
    found: dict[str, dict[str, Dimension]] = {}
    for name, form in FORMS.items():
        for dimension in form.dimensions:
            found.setdefault(dimension.option, {})[name] = dimension
    return found


def add_dimension(parser: Any, dimension: Dimension, help_text: str) -> None:
    """Add the option of one dimension; it stays ``None`` where it is not given."""
    option = f"--{dimension.option}"
    if dimension.kind == "flag":
        parser.add_argument(option, action="store_const", const=True, help=help_text)
    elif dimension.kind == "lengths":
        parser.add_argument(option, action="append", metavar="LENGTH", help=help_text)
    else:
        parser.add_argument(option, metavar=METAVARS[dimension.kind], help=help_text)


def work_from(options: dict[str, Any]) -> Work:
    """Return the work of the form and dimensions given as text."""
    if options["form"] not in FORMS:
        refuse(f"There is no form “{options['form']}”; there are {', '.join(FORMS)}.")
    if options["thickness"] is None:
        refuse("Thickness is missing: give --thickness.")
    form = build(options["form"], dict(given_dimensions(options)))
    sheet = Sheet(
        thickness_mm=thickness(options["thickness"], options["family"]),
        density_kg_m3=number("--density", options["density"] or density_of(options["family"]), STEEL_KG_M3),
        elongation=optional_number("--elongation", options["elongation"], "0.25"),
        min_bend_radius_t=optional_number("--min-bend", options["min_bend"], "1.5"),
    )
    marking = Marking(
        trim_mm=length("--trim", options["trim"]),
        gather_mm=length("--gather", options["gather"]),
        die_width_mm=length("--die-width", options["die_width"]),
        line_count=whole_number("--lines", options["lines"]),
    )
    return work_out(form, sheet, marking)


def given_dimensions(options: dict[str, Any]) -> Iterator[tuple[str, object]]:
    """Yield name and value of the dimensions given, refusing those that the form does not have."""
    form = FORMS[options["form"]]
    own = {dimension.option: dimension for dimension in form.dimensions}
    for option in dimensions_by_option():
        text = options[option.replace("-", "_")]
        if text is None:
            if option in own and own[option].required and own[option].default is None:
                refuse(missing(own[option]))
            continue
        if option not in own:
            refuse(f"{form.name} has no --{option}; it has {', '.join(f'--{each}' for each in own)}.")
        yield own[option].name, read(own[option], text)


def pattern_files(options: dict[str, Any]) -> dict[str, Path]:
    """Return where each pattern asked for is to go, by its kind."""
    files: dict[str, Path] = {}
    for kind in PATTERNS:
        if options[kind] == "":
            refuse(f"--{kind} names no file: write where the pattern is to go, as --{kind} pattern.{kind}.")
        if options[kind]:
            path = Path(options[kind])
            for other, taken in files.items():
                if os.path.realpath(taken) == os.path.realpath(path):
                    refuse(f"--{other} and --{kind} both name {path}: give each a file of its own.")
            files[kind] = path
    return files


def write_files(work: Work, files: dict[str, Path], units: Units, write_length: WriteLength) -> None:
    """Write the pattern files asked for, all of them or none; form and sheet stand for a panel's name."""
    if not files:
        return
    from jobs.drawings.files import pattern_bytes

    words = (work.form.label, f"{format_thickness(work.sheet.thickness_mm, units)} thick")
    drawn = {
        path: pattern_bytes(work, kind, write_length=write_length, words=words)
        for kind, path in files.items()
    }
    try:
        write_whole(drawn)
    except OSError as error:
        refuse(f"The pattern cannot be written to {error.filename}: {error.strerror or error}.")
