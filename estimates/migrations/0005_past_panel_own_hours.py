from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("estimates", "0004_statement_by_email"),
    ]

    operations = [
        migrations.AddField(
            model_name="pastpanel",
            name="own_hours",
            field=models.JSONField(blank=True, default=dict, verbose_name="hours of the shop's own stages"),
        ),
    ]
