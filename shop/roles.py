"""Who may do what: a shaper logs and reads; rates, prices and people are the owner's."""

from functools import wraps

from django.core.exceptions import PermissionDenied


def owner_only(view):
    """Refuse a view to everyone but the owner; the refusal page says whom to ask."""

    @wraps(view)
    def guarded(request, *args, **kwargs):
        if not request.user.is_owner:
            raise PermissionDenied(
                "Only the owner can open this page. Ask them, or ask them to change your role."
            )
        return view(request, *args, **kwargs)

    return guarded
