from decimal import Decimal

import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("shop", "0002_stage_usual")]

    operations = [
        migrations.AddField(
            model_name="shop",
            name="money_style",
            field=models.CharField(
                choices=[
                    ("sign-space", "€ 1\u2009049.29"),
                    ("sign-comma", "$1,049.29"),
                    ("sign-dot", "€ 1.049,29"),
                    ("sign-apostrophe", "CHF 1\u2019049.29"),
                    ("space-sign", "1\u2009049.29 €"),
                    ("space-comma-sign", "1\u2009049,29 €"),
                    ("dot-sign", "1.049,29 €"),
                ],
                default="sign-space",
                max_length=20,
                verbose_name="money written as",
            ),
        ),
        migrations.AddConstraint(
            model_name="shop",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    money_style__in=[
                        "sign-space", "sign-comma", "sign-dot", "sign-apostrophe", "space-sign", "space-comma-sign",
                        "dot-sign",
                    ]
                ),
                name="shop_money_style_known",
            ),
        ),
        migrations.AlterField(
            model_name="metal",
            name="price_per_kg",
            field=models.DecimalField(
                decimal_places=6,
                default=Decimal("0"),
                max_digits=13,
                validators=[django.core.validators.MinValueValidator(0)],
            ),
        ),
    ]  # fmt: skip
