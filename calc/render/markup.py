"""Markup whose `format` and `join` escape as MarkupSafe's do, in a fraction of the time.

MarkupSafe's own `format` runs Python's formatter class for every field, which took half of an
answer's time. Escaping each value first and formatting with plain `str.format` gives the same
text, since no template here has a format specification.
"""

import markupsafe


class Markup(markupsafe.Markup):
    """Text that is HTML already."""

    __slots__ = ()

    def format(self, *values, **named):
        """The template with its fields filled in; whatever is not Markup is escaped."""
        return Markup(str.format(self, *map(_safe, values), **{name: _safe(value) for name, value in named.items()}))

    def join(self, parts):
        """The parts one after the other; whatever is not Markup is escaped."""
        return Markup(str.join(self, map(_safe, parts)))


def _safe(value):
    return value if hasattr(value, "__html__") else markupsafe.escape(value)
