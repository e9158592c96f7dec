from django.db import migrations, models


def keep_those_there_were(apps, schema_editor):
    """Stages of the shop's own went on every panel before."""
    own = apps.get_model("shop", "StageKind").objects.filter(driver="fixed", in_use=True)
    slugs = list(own.order_by("position").values_list("slug", flat=True))
    apps.get_model("jobs", "Panel").objects.update(own_stages=slugs)


class Migration(migrations.Migration):
    dependencies = [("jobs", "0002_initial"), ("shop", "0002_stage_usual")]

    operations = [
        migrations.AddField(
            model_name="panel",
            name="own_stages",
            field=models.JSONField(blank=True, default=list, verbose_name="stages of the shop's own"),
        ),
        migrations.RunPython(keep_those_there_were, migrations.RunPython.noop),
    ]
