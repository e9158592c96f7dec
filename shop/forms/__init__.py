"""Fields that read what the trade writes, and the form they stand in."""

from shop.forms.fields import AngleField, HoursField, LengthField, MoneyField, PercentField, ThicknessField
from shop.forms.shop_form import ShopForm, ShopModelForm, SubmissionMixin

__all__ = [
    "AngleField",
    "HoursField",
    "LengthField",
    "MoneyField",
    "PercentField",
    "ShopForm",
    "ShopModelForm",
    "SubmissionMixin",
    "ThicknessField",
]
