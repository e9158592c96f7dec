"""What every form is: dimensions that are checked when it is made, and questions it answers."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import ClassVar

from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.result import Work
from jobs.forming.sheet import Marking, Sheet


class Form(ABC):
    """A shape of panel. Each form is a frozen dataclass whose fields are its ``dimensions``."""

    __slots__ = ()

    name: ClassVar[str]
    label: ClassVar[str]
    about: ClassVar[str]
    dimensions: ClassVar[tuple[Dimension, ...]]

    def __post_init__(self) -> None:
        for dimension in self.dimensions:
            dimension.check(getattr(self, dimension.name))
        self.refuse_impossible()

    def refuse_impossible(self) -> None:  # noqa: B027 - a flange has nothing to refuse before its sheet is known
        """Raise ``ImpossibleShape`` where dimensions contradict one another whatever the sheet."""

    @abstractmethod
    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that this shape asks of a sheet, or raise ``ImpossibleShape``."""
