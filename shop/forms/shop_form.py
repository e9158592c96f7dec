"""The form every page builds on: it knows the shop's units and money, and refuses a second submit."""

import uuid

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator

from shop.forms.fields import LengthField, MoneyField, ThicknessField
from shop.forms.unit_fields import KeptInAnotherUnit
from shop.models import Shop


class ShopAware:
    """Mixin for forms: tells lengths their units and amounts their symbol."""

    def __init__(self, *args, shop: Shop, **kwargs):
        self.shop = shop
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            if isinstance(field, LengthField | ThicknessField):
                field.units = shop.units
            if isinstance(field, MoneyField):
                field.symbol, field.style = shop.currency_symbol, shop.money_style
            if isinstance(field, KeptInAnotherUnit):
                field.use(shop.units)
                field.held = self.initial.get(name)


class ShopForm(ShopAware, forms.Form):
    """A form of the shop."""

    required_css_class = "required"
    error_css_class = "wrong"


class ShopModelForm(ShopAware, forms.ModelForm):
    """A form over one row of the shop's data. What its columns can hold is said in the shop's units."""

    required_css_class = "required"
    error_css_class = "wrong"

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        columns = {column.name: column for column in self._meta.model._meta.fields}
        for name, field in self.fields.items():
            if isinstance(field, LengthField) and name in columns:
                for validator in columns[name].validators:
                    if isinstance(validator, MinValueValidator):
                        field.least_mm = validator.limit_value
                    elif isinstance(validator, MaxValueValidator):
                        field.most_mm = validator.limit_value


class SubmissionMixin(forms.Form):
    """A hidden number made with the page: the database takes each one once, so a double press does no harm."""

    submission = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["submission"].initial = uuid.uuid4
