"""What leaves the book: addresses that others open, and whether mail really goes out."""

from ipaddress import ip_address
from urllib.parse import urljoin, urlsplit

from django.conf import settings
from django.http import HttpRequest

KEPT_HERE = ("filebased", "console", "dummy")


def address_for(request: HttpRequest, path: str) -> str:
    """The address of a page as somebody elsewhere opens it.

    GATHERBOOK_ADDRESS says how the world reaches this book; without it, the way this request came.
    """
    if settings.PUBLIC_ADDRESS:
        return urljoin(settings.PUBLIC_ADDRESS.rstrip("/") + "/", path.lstrip("/"))
    return request.build_absolute_uri(path)


def only_here(address: str) -> bool:
    """Whether an address can be opened on this machine only.

    >>> only_here("http://127.0.0.1:8000/for/x/"), only_here("https://book.example/for/x/")
    (True, False)
    """
    host = urlsplit(address).hostname or ""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def mail_goes_out() -> bool:
    """Whether e-mail leaves this machine, or is only written to a file for want of a mail server."""
    return not any(f".{name}." in settings.EMAIL_BACKEND for name in KEPT_HERE)


def said_of_mail(
    to: str, what: str = "The link", instead: str = "Copy the link into a message of your own."
) -> str:
    """What is said when a message has been handed over: the truth about where it is now."""
    if mail_goes_out():
        return f"{what} is on its way to {to}."
    return (
        f"No mail server is set, so nothing has gone to {to}: the message was written to {settings.EMAIL_FILE_PATH}. "
        f"{instead}"
    )
