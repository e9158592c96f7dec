"""Hours per stage as a distribution, learned from the shop's own past panels.

Pure Python; numpy is imported only when something is learned or added up.

>>> from datetime import date
>>> model = learn([], FIRST_RATES, on=date(2026, 3, 2))
>>> panel = Drivers(layout_m=6.0, moved_dm2=4.0, worked_dm2=30.0, finished_dm2=45.0, metal="steel")
>>> hours = model.estimate(panel)
>>> hours.stages["gathering"].n_past, round(hours.stages["gathering"].p50, 2)
(0, 7.2)
>>> hours.total.p50 < hours.total.p80
True
"""

from estimates.hours.calibration import Calibration, Move, Score, Trial, calibration, moves
from estimates.hours.learning import learn
from estimates.hours.learning_curve import cumulative_factor, unit_factor
from estimates.hours.model import Model, PanelHours, StageRate, job_total, panel_hours
from estimates.hours.notebook import BadRow, Notebook, read_history, read_panel, write_history
from estimates.hours.panels import (
    DRIVERS,
    FINISHES,
    METHODS,
    STAGES,
    Driver,
    Drivers,
    PastPanel,
    UnusableDrivers,
    UnusableHistory,
)
from estimates.hours.progress import Spent, after, at_completion, rest_of_panel, to_go
from estimates.hours.ranges import HoursRange, Nearest, StageHours
from estimates.hours.rates import FIRST_RATES, FirstRate
from estimates.hours.unlike import Surprise, Unlike, surprises

__all__ = [
    "DRIVERS",
    "FINISHES",
    "FIRST_RATES",
    "METHODS",
    "STAGES",
    "BadRow",
    "Calibration",
    "Driver",
    "Drivers",
    "FirstRate",
    "HoursRange",
    "Model",
    "Move",
    "Nearest",
    "Notebook",
    "PanelHours",
    "PastPanel",
    "Score",
    "Spent",
    "StageHours",
    "StageRate",
    "Surprise",
    "Trial",
    "Unlike",
    "UnusableDrivers",
    "UnusableHistory",
    "after",
    "at_completion",
    "calibration",
    "cumulative_factor",
    "job_total",
    "learn",
    "moves",
    "panel_hours",
    "read_history",
    "read_panel",
    "rest_of_panel",
    "surprises",
    "to_go",
    "unit_factor",
    "write_history",
]
