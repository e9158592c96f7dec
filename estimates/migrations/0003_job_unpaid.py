from django.db import migrations
from django.db.models import Sum


def reckon(apps, schema_editor):
    """Jobs closed before: what was agreed, less what came in."""
    job_model = apps.get_model("jobs", "Job")
    answers = apps.get_model("estimates", "Answer").objects.filter(
        quote__state="accepted", quote__job__state="closed"
    )
    payments = apps.get_model("estimates", "Payment").objects.filter(job__state="closed")
    refunds = dict(payments.filter(kind="refund").values_list("job").annotate(Sum("amount")))
    received = dict(payments.exclude(kind="refund").values_list("job").annotate(Sum("amount")))
    for job, agreed in answers.values_list("quote__job").annotate(Sum("total")):
        unpaid = agreed - received.get(job, 0) + refunds.get(job, 0)
        job_model.objects.filter(pk=job).update(unpaid=unpaid)


class Migration(migrations.Migration):
    dependencies = [("estimates", "0002_initial"), ("jobs", "0004_job_unpaid")]

    operations = [migrations.RunPython(reckon, migrations.RunPython.noop)]
