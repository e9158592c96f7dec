"""Commands that end every refusal with exit code 2 and one line on stderr, for scripts to read."""

import sys
from argparse import ArgumentParser
from typing import Any, NoReturn

from django.core.management.base import BaseCommand, CommandError

IMPOSSIBLE = 2
"""Exit code for input that cannot be read or made."""


class OneLineCommand(BaseCommand):
    """A command whose arguments, too, are refused in one line, without the usage that argparse would print."""

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> ArgumentParser:
        parser = super().create_parser(prog_name, subcommand, allow_abbrev=False, **kwargs)
        parser.error = self.refuse_arguments
        return parser

    def execute(self, *args: Any, **options: Any) -> Any:
        for name, value in options.items():
            # argparse makes an empty list of "--height=--".
            if value == [] or (isinstance(value, list) and [] in value):
                refuse(f"--{name.replace('_', '-')} has no value.")
        return super().execute(*args, **options)

    def refuse_arguments(self, message: str) -> NoReturn:
        if self._called_from_command_line:
            self.stderr.write(f"CommandError: {message}")
            sys.exit(IMPOSSIBLE)
        refuse(message)


def refuse(text: str) -> NoReturn:
    """End with exit code 2 and one line on stderr."""
    raise CommandError(" ".join(text.split()), returncode=IMPOSSIBLE)
