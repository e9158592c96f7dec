from django.db import migrations, models
from django.db.models import Q


class Migration(migrations.Migration):
    """An old notebook may call both hands of a pair by one name; they are two panels."""

    dependencies = [("estimates", "0005_past_panel_own_hours")]

    operations = [
        migrations.RemoveConstraint(model_name="pastpanel", name="past_panel_imported_once"),
        migrations.AddConstraint(
            model_name="pastpanel",
            constraint=models.UniqueConstraint(
                fields=["name", "finished_on", "hand_order"],
                condition=Q(origin="imported"),
                name="past_panel_imported_once",
            ),
        ),
    ]
