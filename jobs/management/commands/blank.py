"""Work out a shape from the command line: figures as JSON for scripts and spreadsheets, patterns as files."""

from __future__ import annotations

import json
from argparse import ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Iterator
from typing import Any

from jobs.blank_help import KEYS_HEAD, METAVARS, forms_help, help_of, keys_help
from jobs.forming import FORMS, ImpossibleShape, Marking, Sheet, Work, build, work_out
from jobs.forming.dimension import Dimension
from jobs.forming.report import as_json
from jobs.forming.said import in_lines
from shop.gauges import GAUGED, is_gauge, parse_thickness_mm
from shop.lengths import Unreadable, parse_angle_rad, parse_length_mm
from shop.one_line import OneLineCommand, refuse


class Command(OneLineCommand):
    help = "Work out what a shape asks of the metal. Lengths as the trade writes them (a bare number is mm)."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        # Django's own formatter would run the lists below into one paragraph.
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = f"each form takes\n{forms_help()}\n\n{KEYS_HEAD}\n{keys_help()}"
        parser.add_argument("form", metavar="FORM", help=", ".join(FORMS))
        parser.add_argument("--json", action="store_true", help="print one JSON object")
        for kind in ("svg", "dxf", "pdf"):
            parser.add_argument(f"--{kind}", metavar="FILE", help=f"write the flat pattern as {kind.upper()}")
        sheet = parser.add_argument_group("sheet and marking")
        sheet.add_argument(
            "--thickness", metavar="LENGTH", help="sheet thickness (required), or a gauge: 18 ga"
        )
        sheet.add_argument("--family", metavar="METAL", help=f"what a gauge is of: {', '.join(GAUGED)}")
        sheet.add_argument("--trim", metavar="LENGTH", default="19.05", help="trim all round, 19.05 mm")
        sheet.add_argument("--gather", metavar="LENGTH", default="5", help="taken by one gather, 5 mm")
        sheet.add_argument("--die-width", metavar="LENGTH", default="25", help="25 mm")
        sheet.add_argument("--lines", metavar="NUMBER", default="3", help="lines to work along, 3")
        sheet.add_argument("--elongation", metavar="FRACTION", help="total elongation of the metal, as 0.25")
        sheet.add_argument("--min-bend", metavar="TIMES", help="least inside bend radius over thickness")
        sheet.add_argument("--density", metavar="KG/M3", default="7850", help="7850 kg/m3")
        shape = parser.add_argument_group("dimensions")
        for dimension, forms in dimensions_by_option().values():
            add_dimension(shape, dimension, help_of(dimension, forms))

    def handle(self, *args: object, **options: Any) -> None:
        try:
            work = work_from(options)
            write_files(work, options)
        except (ImpossibleShape, Unreadable) as error:
            refuse(str(error))
        report = as_json(work)
        if options["json"]:
            self.stdout.write(json.dumps(report, ensure_ascii=False, allow_nan=False))
        else:
            self.stdout.write("\n".join((*in_lines(report), *written(options))))


def dimensions_by_option() -> dict[str, tuple[Dimension, list[str]]]:
    """Return every option once, with one dimension it stands for and the forms that have it."""
    found: dict[str, tuple[Dimension, list[str]]] = {}
    for name, form in FORMS.items():
        for dimension in form.dimensions:
            found.setdefault(dimension.option, (dimension, []))[1].append(name)
    return found


def add_dimension(parser: Any, dimension: Dimension, help_text: str) -> None:
    """Add the option of one dimension; it stays ``None`` where it is not given."""
    option = f"--{dimension.option}"
    if dimension.kind == "flag":
        parser.add_argument(option, action="store_const", const=True, help=help_text)
    elif dimension.kind == "lengths":
        parser.add_argument(option, action="append", metavar="LENGTH", help=f"{help_text}, repeat for each")
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
        density_kg_m3=number("--density", options["density"]),
        elongation=optional_number("--elongation", options["elongation"]),
        min_bend_radius_t=optional_number("--min-bend", options["min_bend"]),
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
                refuse(f"{own[option].label} is missing: give --{option}.")
            continue
        if option not in own:
            refuse(f"{form.name} has no --{option}; it has {', '.join(f'--{each}' for each in own)}.")
        yield own[option].name, read(own[option], text)


def read(dimension: Dimension, text: Any) -> object:
    """Return the value of one dimension from its text."""
    option = f"--{dimension.option}"
    if dimension.kind == "lengths":
        return tuple(length(option, each) for each in text)
    if dimension.kind == "length":
        return length(option, text)
    if dimension.kind == "angle":
        return angle(option, text)
    return number(option, text) if dimension.kind == "number" else text


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
        return length("--thickness", text)
    if family is None:
        refuse(
            f"--thickness: {text} is another thickness for each metal. Say --family, one of {', '.join(GAUGED)}."
        )
    try:
        return parse_thickness_mm(text, family)
    except Unreadable as error:
        refuse(f"--thickness: {error}")


def angle(option: str, text: str) -> float:
    """Return an angle in radians from degrees."""
    try:
        return parse_angle_rad(text)
    except Unreadable as error:
        refuse(f"{option}: {error}")


def number(option: str, text: str) -> float:
    """Return a plain number."""
    try:
        return float(text)
    except ValueError:
        refuse(f"{option}: “{text}” cannot be read as a number. Write one such as 0.25 or 7850.")


def optional_number(option: str, text: str | None) -> float | None:
    """Return a plain number, or nothing where nothing is given."""
    return None if text is None else number(option, text)


def whole_number(option: str, text: str) -> int:
    """Return a whole number."""
    try:
        return int(text)
    except ValueError:
        refuse(f"{option}: “{text}” cannot be read as a whole number. Write one such as 3.")


def write_files(work: Work, options: dict[str, Any]) -> None:
    """Write the pattern files asked for."""
    for kind in ("svg", "dxf", "pdf"):
        if options[kind] == "":
            refuse(f"--{kind} names no file: write where the pattern is to go, as --{kind} pattern.{kind}.")
    if not any(options[kind] for kind in ("svg", "dxf", "pdf")):
        return
    from jobs.drawings import files

    try:
        for kind, write in (("svg", files.write_svg), ("dxf", files.write_dxf), ("pdf", files.write_pdf)):
            if options[kind]:
                write(work, options[kind])
    except OSError as error:
        where = f" to {error.filename}" if error.filename else ""
        refuse(f"The pattern cannot be written{where}: {error.strerror or error}.")


def written(options: dict[str, Any]) -> Iterator[str]:
    """Yield a line for each pattern file written."""
    for kind in ("svg", "dxf", "pdf"):
        if options[kind]:
            yield f"Pattern written to {options[kind]}"
