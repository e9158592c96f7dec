"""How the shop's estimates have come out: every past panel estimated from those before it, in figures and in words.

The reckoning is :mod:`estimates.hours.calibration`; its answer is kept until a rate or a past panel changes.
"""

from dataclasses import dataclass
from functools import lru_cache

from django.db.models import Count, Max

from estimates import hours
from estimates.hours.calibration import TOTAL
from estimates.learning import first_rates, past_panels, stage_kinds
from estimates.models import PastPanel
from estimates.outcome import bias_words
from shop.figures import counted
from shop.models import Shop

KEPT = 4
FEW = 8  # fewer trials than this say nothing about how good a range is


@dataclass(frozen=True, slots=True)
class StageRecord:
    """How one stage, or the whole panel, has come out, with what it means."""

    stage: str
    score: hours.Score

    @property
    def name(self) -> str:
        return "Whole panel" if self.stage == TOTAL else self.stage.capitalize()

    @property
    def words(self) -> str:
        return " ".join((inside_words(self.score), bias_words(self.score)))


def record_of_shop(shop: Shop) -> hours.Calibration:
    """The shop's record, in two small queries while nothing has changed."""
    rates = first_rates(shop, stage_kinds())
    taught = PastPanel.objects.aggregate(count=Count("pk"), last=Max("changed_at"))
    confidence = float(shop.confidence)
    return _reckoned(rates, taught["count"], taught["last"], shop.history_half_life_days, confidence)


@lru_cache(maxsize=KEPT)
def _reckoned(rates, _count, _last_change, half_life_days, confidence) -> hours.Calibration:
    return hours.calibration(past_panels(), rates, half_life_days=half_life_days, confidence=confidence)


def by_stage(record: hours.Calibration) -> list[StageRecord]:
    """The record of each stage in order, the whole panel last."""
    scores = record.by_stage()
    return [StageRecord(stage, scores[stage]) for stage in (*hours.STAGES, TOTAL) if stage in scores]


def trials_by_panel(record: hours.Calibration) -> dict[tuple[str, str], hours.Trial]:
    """Each trial by its panel's key and its stage."""
    return {(trial.panel, trial.stage): trial for trial in record.trials}


def inside_words(score: hours.Score) -> str:
    """How often work stayed inside the high end, and whether that is as often as it should.

    >>> inside_words(hours.Score(20, 0.8, 0.8, 0.5, 0.2, 1.0))
    '16 of 20 took no more than their high end; about 16 should.'
    """
    inside, should = round(score.inside * score.trials), round(score.confidence * score.trials)
    told = f"{inside} of {score.trials} took no more than their high end; about {should} should"
    if score.trials < FEW:
        return f"{told}, and {counted(score.trials, 'panel')} can say little yet."
    return f"{told}."
