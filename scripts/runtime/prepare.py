"""Compiles the whole standard library and the packages that `calc` uses.

Runs after compiling.py in the same interpreter, and uses its functions.
"""

import pathlib
import zipfile

# What calc needs at run time, as its top-level names. markupsafe's compiled part
# is for other machines; its plain Python does the same.
PACKAGES = ("flexparser", "markupsafe", "pint", "typing_extensions")

# What others take if it is there: no page makes a connection or unpacks an archive of such a kind.
NEEDLESS = {"bz2.py", "compression/zstd/__init__.py", "lzma.py", "ssl.py"}

# What others insist on and no page needs: processes, sockets, files on a disk and what is kept in them, a machine's language.
# In their place stands only what is asked for while they are being imported, and what pint asks for when
# it starts. They would be an eighth of the snapshot.
STAND_INS = {
    "asyncio/sslproto.py": "",
    "asyncio/staggered.py": "",
    "asyncio/streams.py": "__all__ = ()",
    "asyncio/subprocess.py": "__all__ = ()",
    "asyncio/unix_events.py": "from .events import _BaseDefaultEventLoopPolicy as _DefaultEventLoopPolicy\n__all__ = ()",
    "flexcache.py": "",
    "importlib/metadata/__init__.py": """
class PackageNotFoundError(ModuleNotFoundError):
    pass


def version(name):
    raise PackageNotFoundError(name)
""",
    "ipaddress.py": "",
    "locale.py": "LC_NUMERIC = getlocale = setlocale = None",
    "platformdirs.py": "",
    "socket.py": "from _socket import *",
    "subprocess.py": "PIPE = STDOUT = None",
}


def standard_library(path):
    with zipfile.ZipFile(path) as archive:
        for name in archive.namelist():
            if name.endswith(".py") and name not in NEEDLESS:
                yield name, archive.read(name)


def packages(folder):
    for package in PACKAGES:
        files = sorted((folder / package).rglob("*.py")) or [folder / f"{package}.py"]
        for file in files:
            yield file.relative_to(folder).as_posix(), file.read_bytes()


def prepare(standard_library_zip, site_packages, output):
    sources = dict(standard_library(standard_library_zip)) | dict(packages(pathlib.Path(site_packages))) | STAND_INS
    write_zip(output, {f"{name}c": compiled(source, name, keep_lines=False) for name, source in sources.items()})
