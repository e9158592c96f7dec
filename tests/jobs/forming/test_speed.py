"""A page works a shape out while somebody types: under a millisecond, and without loading numpy for it."""

import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from jobs.forming import FORMS, Marking, Sheet, build, work_out


def median_ms(form: object) -> float:
    sheet, marking, times = Sheet(1.2, elongation=0.3), Marking(line_count=3), []
    for _ in range(60):
        began = time.process_time()
        work_out(form, sheet, marking)
        times.append(time.process_time() - began)
    return statistics.median(times) * 1000


@pytest.mark.parametrize("name", FORMS)
def test_every_form_is_worked_out_in_under_a_millisecond(name):
    form = build(name, {dimension.name: dimension.example for dimension in FORMS[name].dimensions})
    # The process's own time, and the best of five medians: a busy machine is not the form's fault.
    assert min(median_ms(form) for _ in range(5)) < 1.0


def test_forming_loads_nothing_but_the_standard_library():
    script = (
        "import sys; before = set(sys.modules); import jobs.forming, jobs.forming.report; "
        "print(*sorted({name.split('.')[0] for name in set(sys.modules) - before}))"
    )
    root = Path(__file__).parents[3]
    loaded = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=root
    )
    assert set(loaded.stdout.split()) - set(sys.stdlib_module_names) == {"jobs"}
