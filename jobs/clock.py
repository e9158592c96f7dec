"""The clock at the bench."""


def running_clock(request):
    """Context of every page: the signed-in person's running clock, or nothing."""
    if not getattr(request, "user", None) or not request.user.is_authenticated:
        return {"running_clock": None}
    from jobs.models import TimeEntry

    entry = (
        TimeEntry.objects.filter(person=request.user, ended_at=None)
        .select_related("person", "stage__kind", "stage__panel__job")
        .first()
    )
    return {"running_clock": entry}
