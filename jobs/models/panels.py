"""A panel: metal, shape, hand and finish, and the figures its shape asks for."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from jobs.models.jobs import Job
from shop.codes import new_code
from shop.models import GatherSize, Metal


class Panel(models.Model):
    """One panel of a job.

    ``form`` and ``dimensions`` are what ``jobs.forming.build`` takes (millimetres and radians). The figures
    below them are a copy of what forming answered, so that lists and history need not work it out again;
    ``jobs.panels.save_panel`` keeps both in step and is the only writer.
    ``own_stages`` are slugs of the shop's own stages that this panel goes through beside the four of the craft.
    A right hand that mirrors a left shares its shape through ``mirrors`` and is never entered twice.
    """

    class Hand(models.TextChoices):
        NEITHER = "neither", "Neither"
        LEFT = "left", "Left"
        RIGHT = "right", "Right"

    class Finish(models.TextChoices):
        HAMMERED = "hammered", "Hammered"
        SMOOTH = "smooth", "Smooth"
        BRIGHT = "bright", "Bright"

    class Grain(models.TextChoices):
        ANY = "any", "Any"
        ALONG = "along", "Along the length"
        ACROSS = "across", "Across the length"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="panels")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=80)
    metal = models.ForeignKey(Metal, on_delete=models.PROTECT, related_name="panels")
    thickness_mm = models.FloatField(validators=[MinValueValidator(0.05), MaxValueValidator(25)])
    form = models.CharField(max_length=20)
    dimensions = models.JSONField(default=dict)
    hand = models.CharField(max_length=7, choices=Hand, default=Hand.NEITHER)
    mirrors = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.CASCADE, related_name="mirrored_by"
    )
    finish = models.CharField(max_length=8, choices=Finish, default=Finish.SMOOTH)
    method = models.CharField(max_length=5, choices=GatherSize.Method, default=GatherSize.Method.HAND)
    grain = models.CharField("rolling direction", max_length=6, choices=Grain, default=Grain.ANY)
    trim_mm = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(500)])
    line_count = models.PositiveSmallIntegerField(validators=[MinValueValidator(2), MaxValueValidator(25)])
    gather_mm = models.FloatField(validators=[MinValueValidator(0.1), MaxValueValidator(100)])
    die_width_mm = models.FloatField(validators=[MinValueValidator(1), MaxValueValidator(300)])
    own_stages = models.JSONField("stages of the shop's own", default=list, blank=True)
    note = models.TextField(blank=True)
    code = models.CharField(max_length=8, unique=True, default=new_code, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    finished_area_mm2 = models.FloatField(editable=False)
    mass_kg = models.FloatField(editable=False)
    blank_length_mm = models.FloatField(editable=False)
    blank_width_mm = models.FloatField(editable=False)
    layout_m = models.FloatField(editable=False)
    moved_dm2 = models.FloatField(editable=False)
    worked_dm2 = models.FloatField(editable=False)
    finished_dm2 = models.FloatField(editable=False)
    pass_count = models.PositiveSmallIntegerField(default=0, editable=False)

    class Meta:
        ordering = ["job", "position"]
        constraints = [
            models.UniqueConstraint(fields=["job", "position"], name="panel_position_once_a_job"),
            models.CheckConstraint(
                condition=Q(hand__in=["neither", "left", "right"]), name="panel_hand_known"
            ),
            models.CheckConstraint(
                condition=Q(mirrors=None) | Q(hand__in=["left", "right"]), name="panel_mirror_has_a_hand"
            ),
            models.CheckConstraint(condition=~Q(mirrors=F("id")), name="panel_not_its_own_mirror"),
            models.CheckConstraint(condition=Q(thickness_mm__gt=0), name="panel_has_thickness"),
        ]

    def __str__(self):
        return f"{self.mark} {self.name}"

    def get_absolute_url(self):
        return reverse("panel", args=[self.job.number, self.position])

    @property
    def hand_letter(self) -> str:
        return {"left": "L", "right": "R"}.get(self.hand, "")

    @property
    def hand_word(self) -> str:
        """The hand as a drawing names it; nothing for a panel of neither."""
        return self.get_hand_display().lower() if self.hand_letter else ""

    @property
    def mark(self) -> str:
        """What is chalked on the metal: 2026-014.1 L."""
        return f"{self.job.number}.{self.position}" + (f" {self.hand_letter}" if self.hand_letter else "")

    @property
    def blank_mass_kg(self) -> float:
        """Mass of the blank's rectangle as it is cut from the sheet, before anything comes off."""
        volume_mm3 = self.blank_length_mm * self.blank_width_mm * self.thickness_mm
        return volume_mm3 * self.metal.density_kg_m3 * 1e-9

    @property
    def is_mirrored(self) -> bool:
        """Whether drawings of this panel are reflected: shapes are entered as the first hand."""
        return self.mirrors_id is not None

    @property
    def hand_order(self) -> int:
        """1 for a single panel or the first hand of a pair, 2 for the hand that mirrors it."""
        return 2 if self.mirrors_id else 1
