from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("shop", "0003_money_style_and_price_by_mass")]

    operations = [
        migrations.AddField(
            model_name="sheetstock",
            name="expected_on",
            field=models.DateField(
                blank=True,
                help_text="Where it is ordered. Empty: a week after it was written down.",
                null=True,
            ),
        ),
    ]
