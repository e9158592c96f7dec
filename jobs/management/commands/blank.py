"""Work out a shape from the command line: figures as JSON for scripts and spreadsheets, patterns as files."""

from __future__ import annotations

import json
import os
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NoReturn

from jobs.blank_help import KEYS_HEAD, METAVARS, forms_help, help_of, keys_help
from jobs.forming import FORMS, ImpossibleShape, Marking, Sheet, Work, build, work_out
from jobs.forming.dimension import Dimension
from jobs.forming.report import as_json
from jobs.forming.said import in_lines
from shop.gauges import GAUGED, MAX_SHEET_MM, is_gauge, parse_thickness_mm
from shop.lengths import Unreadable, parse_angle_rad, parse_length_mm
from shop.metals_table import STANDARD_METALS
from shop.one_line import OneLineCommand, refuse
from shop.whole_files import write_whole

STEEL_KG_M3 = "7850"
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
        try:
            files = pattern_files(options)
            work = work_from(options)
            write_files(work, files)
        except (ImpossibleShape, Unreadable) as error:
            refuse(str(error))
        report = as_json(work)
        if options["json"]:
            self.say(json.dumps(report, allow_nan=False))
        else:
            self.say(
                "\n".join((*in_lines(report), *(f"Pattern written to {path}" for path in files.values())))
            )

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


def missing(dimension: Dimension) -> str:
    """Say that a dimension is missing."""
    if dimension.kind == "lengths":
        return f"{dimension.label} are missing: give --{dimension.option} for each."
    return f"{dimension.label} is missing: give --{dimension.option}."


def read(dimension: Dimension, text: Any) -> object:
    """Return the value of one dimension from its text."""
    option = f"--{dimension.option}"
    if dimension.kind == "lengths":
        return tuple(length(option, each) for each in text)
    if dimension.kind == "length":
        return length(option, text)
    if dimension.kind == "angle":
        return angle(option, text)
    if dimension.kind == "choice":
        return choice(dimension, text)
    return number(option, text, "0.33") if dimension.kind == "number" else text


def choice(dimension: Dimension, text: str) -> str:
    """Return the choice that the words stand for, in whatever order and with commas or without."""
    words = sorted(text.replace(",", " ").split())
    for stored, _ in dimension.choices:
        if sorted(stored.split()) == words:
            return stored
    choices = ", ".join(f"‘{stored}’" for stored, _ in dimension.choices)
    refuse(f"--{dimension.option}: “{text}” is not one of its choices. Write one of {choices}.")


def length(option: str, text: str) -> float:
    """Return a length in mm, a bare number being mm."""
    try:
        return parse_length_mm(text, bare="mm")
    except Unreadable as error:
        refuse(f"{option}: {error}")


def thickness(text: str, family: str | None) -> float:
    """Return a thickness in mm; a gauge is a thickness only for a family of metals."""
    if family is not None and family not in GAUGED:
        refuse(f"--family: “{family}” is not sold by gauge; {', '.join(GAUGED)} are.")
    if not is_gauge(text):
        return sheet_thickness(text)
    if family is None:
        refuse(
            f"--thickness: {text} is another thickness for each metal. Say --family, one of {', '.join(GAUGED)}."
        )
    try:
        return parse_thickness_mm(text, family)
    except Unreadable as error:
        refuse(f"--thickness: {error}")


def sheet_thickness(text: str) -> float:
    """Return a thickness in mm that is no gauge, no more than the pages take."""
    thickness_mm = length("--thickness", text)
    if thickness_mm > MAX_SHEET_MM:
        refuse(f"--thickness: “{text}” is thicker than sheet is: write at most {MAX_SHEET_MM:g} mm.")
    return thickness_mm


def density_of(family: str | None) -> str:
    """Return the density taken where none is given: of the family's first metal, or of any steel."""
    if family in (None, "steel", "galvanized"):
        return STEEL_KG_M3
    return next((f"{each.density_kg_m3:g}" for each in STANDARD_METALS if each.family == family), STEEL_KG_M3)


def density_help() -> str:
    """Tell the density taken where none is given."""
    others = {family: density_of(family) for family in GAUGED}
    told = ", ".join(f"{family} {given}" for family, given in others.items() if given != STEEL_KG_M3)
    return f"{STEEL_KG_M3} kg/m3, or by --family: {told}"


def angle(option: str, text: str) -> float:
    """Return an angle in radians from degrees."""
    try:
        return parse_angle_rad(text)
    except Unreadable as error:
        refuse(f"{option}: {error}")


def number(option: str, text: str, example: str) -> float:
    """Return a plain number."""
    try:
        return float(text)
    except ValueError:
        refuse(f"{option}: “{text}” cannot be read as a number. Write one such as {example}.")


def optional_number(option: str, text: str | None, example: str) -> float | None:
    """Return a plain number, or nothing where nothing is given."""
    return None if text is None else number(option, text, example)


def whole_number(option: str, text: str) -> int:
    """Return a whole number."""
    try:
        return int(text)
    except ValueError:
        refuse(f"{option}: “{text}” cannot be read as a whole number. Write one such as 3.")


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


def write_files(work: Work, files: dict[str, Path]) -> None:
    """Write the pattern files asked for, all of them or none."""
    if not files:
        return
    from jobs.drawings.files import pattern_bytes

    try:
        write_whole({path: pattern_bytes(work, kind) for kind, path in files.items()})
    except OSError as error:
        refuse(f"The pattern cannot be written to {error.filename}: {error.strerror or error}.")
