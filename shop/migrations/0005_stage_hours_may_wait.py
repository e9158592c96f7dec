from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0004_day_a_sheet_is_expected"),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name="stagekind",
            name="stage_kind_has_hours",
        ),
        migrations.AddConstraint(
            model_name="stagekind",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("driver", "fixed"),
                        ("fixed_high_hours__gte", models.F("fixed_low_hours")),
                        ("fixed_high_hours__isnull", False),
                        ("fixed_low_hours__gt", 0),
                        ("fixed_low_hours__isnull", False),
                    ),
                    models.Q(("driver", "fixed"), ("fixed_high_hours", None), ("fixed_low_hours", None)),
                    models.Q(
                        models.Q(("driver", "fixed"), _negated=True),
                        ("hours_per_unit__gt", 0),
                        ("hours_per_unit__isnull", False),
                    ),
                    _connector="OR",
                ),
                name="stage_kind_has_hours",
            ),
        ),
    ]
