"""Short codes for labels: easy to read aloud, hard to misread."""

import secrets

# Without 0 O 1 I L and vowels: no two look alike and no words come out.
ALPHABET = "23456789BCDFGHJKMNPQRSTVWXYZ"
LENGTH = 8


def new_code() -> str:
    """Return a random code of eight characters, one of 378 thousand million.

    A shop that has given 10 000 codes meets one it gave before about once in 38 million panels; the column is
    unique, so even then the press is refused rather than two panels answering to one label.

    >>> len(new_code())
    8
    """
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
