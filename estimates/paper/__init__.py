"""Everything that leaves the screen on paper.

Each document is a small class that lays out a frozen value object: what it says stands in the value, how it looks in
the class, one method a block, positions in millimetres from the page's top left corner. ``estimates.paper.facts``
reads the book and fills the values; nothing else here knows the database.
"""
