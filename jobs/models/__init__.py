"""Customers, jobs, panels and everything that happens to a panel on its way through the shop."""

from jobs.models.customers import Customer
from jobs.models.jobs import Job, ProgressLink
from jobs.models.material import MaterialUse
from jobs.models.panels import Panel
from jobs.models.photos import Photo
from jobs.models.readings import PassDone, Reading
from jobs.models.stages import Stage, StageNote
from jobs.models.time import TimeCorrection, TimeEntry

__all__ = [
    "Customer",
    "Job",
    "MaterialUse",
    "Panel",
    "PassDone",
    "Photo",
    "ProgressLink",
    "Reading",
    "Stage",
    "StageNote",
    "TimeCorrection",
    "TimeEntry",
]
