"""A character that no text of the book holds: no keyboard types NUL, and PostgreSQL refuses it."""

from django.http import Http404

NUL = "\x00"


class WithoutNul:
    """Middleware: a path with NUL leads nowhere, and NUL after the question mark is read as a space.

    In what is sent with a form the fields refuse it.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if NUL in request.path_info:
            raise Http404("There is nothing at this address.")
        asked = request.META.get("QUERY_STRING", "")
        if "%00" in asked:
            request.META["QUERY_STRING"] = asked.replace("%00", "%20")
        return self.get_response(request)
