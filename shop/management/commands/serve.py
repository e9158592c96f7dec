"""Serve the book with a production server that runs on every platform."""

from django.conf import settings
from django.core.management.base import BaseCommand


class Command(BaseCommand):
    help = "Serve the book on this machine."

    def add_arguments(self, parser):
        parser.add_argument(
            "--host", default="127.0.0.1", help="address to listen on (default: this machine only)"
        )
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--threads", type=int, default=8)

    def handle(self, *, host, port, threads, **options):
        from waitress import serve

        from shop.wsgi import application

        self.stdout.write(f"Gatherbook is open on http://{host}:{port}/ (stop with Ctrl+C)")
        if host not in settings.THIS_MACHINE and set(settings.ALLOWED_HOSTS) <= set(settings.THIS_MACHINE):
            self.stdout.write(
                "Only this machine is let in. For phones and others, name this machine's address in the network in "
                "GATHERBOOK_HOSTS, such as GATHERBOOK_HOSTS=192.168.1.20."
            )
        serve(application, host=host, port=port, threads=threads, ident=None)
