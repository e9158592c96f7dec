"""Short codes for labels: easy to read aloud, hard to misread."""

import secrets

# Without 0 O 1 I L and vowels: no two look alike and no words come out.
ALPHABET = "23456789BCDFGHJKMNPQRSTVWXYZ"
LENGTH = 6


def new_code() -> str:
    """Return a random code of six characters, one of 481 million.

    >>> len(new_code())
    6
    """
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
