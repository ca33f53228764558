"""A plan as a short text for a link, and back.

The text stands behind the # of an address, where no server sees it: a version, the count
of the characters that follow, a checksum and the document, deflated, in the alphabet that
addresses leave alone (RFC 4648, base64url). So a link that was cut short says so.
"""

import base64
import binascii
import re
import zlib

from calc.errors import FieldProblem, InputProblems
from calc.plan import document

FORM = "1"
CHARACTERS_MOST = 60_000  # of a link; browsers and mail programs cut longer ones
_PARTS = re.compile(r"([0-9A-Za-z]+)\.([0-9]{1,6})\.([0-9a-f]{8})\.([A-Za-z0-9_-]*)")


def to_link(plan):
    """The text of a link.

    Parameters
    ----------
    plan : dict
        A plan.

    Returns
    -------
    str
        Letters, digits, points, hyphens and underscores.
    """
    raw = document.compact(plan).encode()
    deflate = zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
    body = base64.urlsafe_b64encode(deflate.compress(raw) + deflate.flush()).rstrip(b"=").decode()
    return f"{FORM}.{len(body)}.{zlib.crc32(raw):08x}.{body}"


def from_link(text):
    """Read the text of a link.

    Parameters
    ----------
    text : str
        What stands behind the #.

    Returns
    -------
    dict
        The plan.

    Raises
    ------
    InputProblems
        In words for the reader; the field is "link", or the path within the document.
    """
    text = re.sub(r"\s+", "", text)
    if len(text) > CHARACTERS_MOST:
        _refuse(f"is {len(text)} characters long: a plan's link has at most {CHARACTERS_MOST}")
    found = _PARTS.fullmatch(text)
    if found is None:
        _refuse("is not the link of a plan, or its beginning was cut off: ask for it again, or for the exported file")
    form, count, checksum, body = found.groups()
    if form != FORM:
        _refuse(f'is of form "{form}", which this handbook does not read: update the handbook, or ask for the exported file')
    if len(body) != int(count):
        how = "was cut short" if len(body) < int(count) else "has something added at its end"
        _refuse(f"{how}: {len(body)} of {int(count)} characters arrived; copy it whole, or ask for the exported file")
    raw = _inflated(body)
    if f"{zlib.crc32(raw):08x}" != checksum:
        _refuse("was changed on its way: its checksum is wrong; ask for it again")
    return document.from_text(raw.decode("utf-8", "replace"))


def _inflated(body):
    """The document's bytes; never more of them than a document may have."""
    most = 4 * document.CHARACTERS_MOST
    try:
        packed = base64.urlsafe_b64decode(body + "=" * (-len(body) % 4))
        inflate = zlib.decompressobj(-zlib.MAX_WBITS)
        raw = inflate.decompress(packed, most)
    except (binascii.Error, ValueError, zlib.error):
        _refuse("was changed on its way: it cannot be unpacked; ask for it again")
    if inflate.unconsumed_tail or (not inflate.eof and len(raw) >= most):
        _refuse("unpacks to more than a plan holds: it was not made here")
    if not inflate.eof:
        _refuse("was changed on its way: it ends in the middle; ask for it again")
    return raw


def _refuse(words):
    raise InputProblems([FieldProblem("link", words)])
