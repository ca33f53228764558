"""Turns Python sources into what the page loads: stripped byte code in a plain zip.

Runs inside the in-page interpreter, whose byte code no other Python writes.
"""

import importlib.util
import marshal
import zipfile

# Names are all that a zip needs; a fixed date keeps two builds alike.
DATE = (1980, 1, 1, 0, 0, 0)
# The second word says "timestamp", the rest is a time and a size that nobody checks in a zip without sources.
HEADER = importlib.util.MAGIC_NUMBER + bytes(12)


def compiled(source, name, keep_lines):
    """The content of a .pyc file: without docstrings and asserts, and perhaps without line numbers."""
    code = compile(source, name, "exec", dont_inherit=True, optimize=2)
    if not keep_lines:
        code = without_lines(code)
    return HEADER + marshal.dumps(code)


def without_lines(code):
    """The same code with a line table that says "no location" throughout.

    An empty table would stop tracebacks from being printed.
    """
    constants = tuple(without_lines(each) if hasattr(each, "co_linetable") else each for each in code.co_consts)
    whole, rest = divmod(len(code.co_code) // 2, 8)
    # An entry: the top bit, kind 15 for "no location", and the length less one in the low three bits.
    table = b"\xff" * whole + (bytes([0xF8 | rest - 1]) if rest else b"")
    return code.replace(co_consts=constants, co_linetable=table)


def write_zip(path, contents):
    """Write `contents` (bytes by name) in order of name, stored, with an entry for each folder.

    Stored, because the whole is compressed once more: that packs better and loads faster.
    """
    folders = {name[: at + 1] for name in contents for at, letter in enumerate(name) if letter == "/"}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(folders | contents.keys()):
            entry = zipfile.ZipInfo(name, DATE)
            # Otherwise the system that made the zip is written into it.
            entry.create_system = 3
            archive.writestr(entry, contents.get(name, b""))
