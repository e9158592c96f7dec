"""Bring the database and the static files up to date; doing it twice does no harm."""

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand

from shop.models import Shop
from shop.setting_up import needs_code, set_up_code


class Command(BaseCommand):
    help = "Make the data folder, apply migrations and collect static files."

    def handle(self, **options):
        settings.VAR_DIR.mkdir(parents=True, exist_ok=True)
        call_command("migrate", interactive=False, verbosity=0)
        call_command("collectstatic", interactive=False, verbosity=0)
        self.stdout.write(f"The book is kept in {settings.VAR_DIR}")
        if needs_code() and not Shop.objects.exists():
            self.stdout.write(f"The set-up page will ask for this code: {set_up_code()}")
