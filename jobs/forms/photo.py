"""Forms for photographs."""

from datetime import timedelta

from django import forms
from django.core.exceptions import ValidationError

from jobs.forms.bench import PressedAtMixin
from jobs.models import Photo
from jobs.photos import shop_zone
from jobs.pictures import NotAPhoto, Picture, read_picture, too_heavy
from shop.forms import ShopForm, ShopModelForm, SubmissionMixin
from shop.forms.stale import StaleGuard

MOST_AT_ONCE = 12
ACCEPT = "image/jpeg,image/png,image/heic,image/heif,image/webp"


class FileInput(forms.FileInput):
    """A file input that offers the camera; ``several`` lets many be picked at once."""

    def __init__(self, *, several: bool = False):
        self.allow_multiple_selected = several
        super().__init__({"accept": ACCEPT, "class": "file-box", **({"multiple": True} if several else {})})

    def value_from_datadict(self, data, files, name):
        return files.getlist(name) if hasattr(files, "getlist") else [files[name]] if name in files else []

    def value_omitted_from_data(self, data, files, name):
        return name not in files


class PhotosField(forms.Field):
    """One or several photographs, cleaned to a list of :class:`jobs.pictures.Picture`.

    A file that the server dropped while it arrived (see ``shop.uploads``) is named here too, beside the field.
    """

    default_error_messages = {"required": "Pick a photo, or take one."}

    def __init__(self, *, several: bool = False, **options):
        self.several = several
        self.dropped: list[str] = []
        super().__init__(widget=FileInput(several=several), **options)

    def clean(self, uploads) -> list[Picture]:
        if self.dropped:
            raise ValidationError([_about(name, too_heavy(), self.several) for name in self.dropped])
        super().clean(uploads)
        if len(uploads) > (MOST_AT_ONCE if self.several else 1):
            raise ValidationError(f"At most {MOST_AT_ONCE} photos at once." if self.several else "One photo.")
        zone, pictures, refusals = shop_zone() if uploads else None, [], []
        for upload in uploads:
            try:
                pictures.append(read_picture(upload, zone))
            except NotAPhoto as refusal:
                refusals.append(_about(upload.name, str(refusal), self.several))
        if refusals:
            raise ValidationError(refusals)
        return pictures


def _about(name: str, refusal: str, several: bool) -> str:
    """With several photos the sentence says which."""
    return f"{name[:60]}: {refusal}" if several else refusal


class DroppedUploadsMixin:
    """Tells photo fields which files were too big to be let in. Give the form ``request=request``."""

    def __init__(self, *args, request=None, **kwargs):
        super().__init__(*args, **kwargs)
        if request is not None and request.method == "POST":
            _ = request.FILES  # the refusals are only known once the post has been read
        dropped = getattr(request, "refused_uploads", {})
        for name, field in self.fields.items():
            if isinstance(field, PhotosField):
                field.dropped = dropped.get(self.add_prefix(name), [])


class PhotoWordsForm(StaleGuard, ShopModelForm):
    """What a photo shows, and who may see it."""

    class Meta:
        model = Photo
        fields = ["subject", "caption", "for_customer"]


class PhotoForm(DroppedUploadsMixin, PressedAtMixin, SubmissionMixin, ShopForm):
    """A new photo, or several, of a job, panel or stage.

    A phone may have kept it for as long as a month without signal: no hours hang on when it was handed in.
    """

    kept_for = timedelta(days=31)

    photos = PhotosField(
        several=True, label="Photos",
        help_text="JPEG, PNG, HEIC or WebP. Where a photo was taken is not kept.",
    )  # fmt: skip
    subject = forms.ChoiceField(label="Shows", choices=Photo.Subject.choices, initial=Photo.Subject.SO_FAR)
    caption = forms.CharField(required=False, max_length=200)
    for_customer = forms.BooleanField(required=False, label="Show to the customer")
