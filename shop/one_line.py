"""Commands that end every refusal with exit code 2 and one line on stderr, for scripts to read."""

import os
import re
import sys
from argparse import ArgumentParser
from typing import Any, NoReturn

from django.core.management.base import BaseCommand, CommandError

IMPOSSIBLE = 2
"""Exit code for input that cannot be read or made."""

# What argparse says in its own words, and what it means to somebody who does not write programs.
_PLAINLY = (
    (r"argument (--[\w-]+): expected .*", "{} has no value: write one after it."),
    (
        r"argument (--[\w-]+): ignored explicit argument .*",
        "{} takes no value: write it alone, or leave it out.",
    ),
    (
        r"argument (--[\w-]+): invalid choice: '(.*)' \(choose from (.*)\)",
        "{}: “{}” is not one of its choices: {}.",
    ),
    (
        r"unrecognized arguments: (.*)",
        "Not understood: {}. Put what holds a space in quotes, as “2 1/2 in”; --help lists the options.",
    ),
)


class Refused(CommandError):
    """Input that cannot be read or made; Django prints the name of this class before its text."""


class OneLineCommand(BaseCommand):
    """A command whose arguments, too, are refused in one line, without the usage that argparse would print."""

    # What only somebody who works on the program wants is still taken, and left out of the help.
    suppressed_base_arguments = frozenset(
        (
            "--version",
            "--verbosity",
            "--settings",
            "--pythonpath",
            "--traceback",
            "--no-color",
            "--force-color",
        )
    )

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
        message = plainly(message)
        if self._called_from_command_line:
            self.stderr.write(f"{Refused.__name__}: {message}")
            sys.exit(IMPOSSIBLE)
        refuse(message)

    def say(self, text: str) -> None:
        """Print a text, or refuse in one line where there is no room for it; a reader that has left is no error."""
        if self._called_from_command_line and sys.stdout is None:
            refuse("There is nowhere to print: standard output is closed.")
        try:
            self._print(text)
        except BrokenPipeError:
            _print_nowhere()
        except OSError as error:
            _print_nowhere()
            refuse(f"The figures cannot be printed: {error.strerror or error}.")

    def _print(self, text: str) -> None:
        try:
            self.stdout.write(text)
        except UnicodeEncodeError as error:
            # A console without the sign for a square metre still gets the figures.
            self.stdout.write(text.encode(error.encoding, "replace").decode(error.encoding))
        self.stdout.flush()


def plainly(message: str) -> str:
    """Return what argparse has to say in plain words.

    >>> plainly("argument --height: expected one argument")
    '--height has no value: write one after it.'
    """
    for pattern, words in _PLAINLY:
        if found := re.fullmatch(pattern, message, re.DOTALL):
            return " ".join(words.format(*found.groups()).split())
    return " ".join(message.split())


def refuse(text: str) -> NoReturn:
    """End with exit code 2 and one line on stderr."""
    raise Refused(" ".join(text.split()), returncode=IMPOSSIBLE)


def _print_nowhere() -> None:
    """Send what is still waiting to be printed nowhere: Python would try it again at its end, and complain."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
