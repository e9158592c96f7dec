from django.db import migrations, models


def stay_usual(apps, schema_editor):
    """Stages of the shop's own went on every panel before."""
    apps.get_model("shop", "StageKind").objects.filter(driver="fixed").update(usual=True)


class Migration(migrations.Migration):
    dependencies = [("shop", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="stagekind",
            name="usual",
            field=models.BooleanField(
                default=False,
                help_text="A stage of the shop's own: each panel may leave it out or take it in.",
                verbose_name="on every new panel",
            ),
        ),
        migrations.RunPython(stay_usual, migrations.RunPython.noop),
    ]
