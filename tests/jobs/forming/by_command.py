"""A panel of every form as one types it for the blank command."""

import io
import json

from django.core.management import call_command

LINES = {
    "arch": "--outside-radius 300 --turn 90 --bend-radius 25 --depth 75",
    "sweep": "--crown-radius 330 --turn 120 --width 180 --flat 60 --drop 40",
    "dome": "--diameter 300 --height 60",
    "crown": "--width 600 --length 900 --width-height 20 --length-height 30",
    "roll": "--width 400 --radius 200 --turn 90",
    "fold": "--width 250 --leg 40 --leg 70 --leg 30 --bend-radius 3 --bend-angle 90",
    "tray": "--width 300 --length 400 --corner-radius 60 --bend-radius 6 --depth 30",
}


def blank(form: str, *more: str) -> dict:
    out = io.StringIO()
    call_command("blank", form, *LINES[form].split(), "--thickness", "1.2", "--json", *more, stdout=out)
    return json.loads(out.getvalue())
