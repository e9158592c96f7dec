import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("estimates", "0002_quotes_keep_their_lineage_and_links"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="PutAside",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("on", models.DateField()),
                ("key", models.CharField(max_length=60)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "needs put aside",
                "ordering": ["person", "on", "key"],
                "constraints": [
                    models.UniqueConstraint(fields=("person", "on", "key"), name="put_aside_once_a_day"),
                    models.CheckConstraint(
                        condition=models.Q(("key", ""), _negated=True), name="put_aside_has_a_key"
                    ),
                ],
            },
        ),
    ]
