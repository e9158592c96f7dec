"""Fill an empty book with the example shop; a book that holds anything is left alone."""

from django.core.management.base import BaseCommand

from estimates.demo.loading import is_empty, load
from estimates.demo.people import PASSWORD
from estimates.demo.photographs import SIZE


class Command(BaseCommand):
    help = "Load the example shop, Drumlin & Daughter, into an empty book."

    def add_arguments(self, parser):
        parser.add_argument("--host", default="127.0.0.1", help="where the book will be served")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument(
            "--picture-width", type=int, default=SIZE[0], help="pixels; smaller photographs load sooner"
        )

    def handle(self, *, host, port, picture_width, **options):
        if is_empty():
            load(self._say, size=(picture_width, picture_width * 3 // 4))
            self.stdout.write("The example shop is loaded.")
        else:
            self.stdout.write("The book holds a shop already; nothing was loaded and nothing changed.")
        self._how_to_sign_in(host, port)

    def _say(self, words):
        self.stdout.write(words)
        self.stdout.flush()

    def _how_to_sign_in(self, host, port):
        from django.contrib.auth import authenticate

        if not authenticate(username="osk", password=PASSWORD):
            self.stdout.write(f"Open http://{host}:{port} and sign in as you do.")
            return
        self.stdout.write(f"\nOpen http://{host}:{port}")
        self.stdout.write(f"Sign in as the owner:  osk   {PASSWORD}")
        self.stdout.write(f"or as a shaper:        maro  {PASSWORD}")
        self.stdout.write("This password is for trying only: it is printed here for everybody to read.\n")
