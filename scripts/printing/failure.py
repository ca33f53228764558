"""How a book that cannot be printed says so."""


class PrintFailure(Exception):
    """Why there is no book, in one line or one line for each fault."""
