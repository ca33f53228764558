"""Compiles the whole standard library and the packages that `calc` uses.

Runs after compiling.py in the same interpreter, and uses its functions.
"""

import pathlib
import zipfile

# What calc needs at run time, as its top-level names. markupsafe's compiled part
# is for other machines; its plain Python does the same.
PACKAGES = ("flexcache", "flexparser", "markupsafe", "pint", "platformdirs", "typing_extensions")

# asyncio takes it if it is there, and no page makes a connection: a megabyte of memory for nothing.
NEEDLESS = {"ssl.py"}


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
    sources = dict(standard_library(standard_library_zip)) | dict(packages(pathlib.Path(site_packages)))
    write_zip(output, {f"{name}c": compiled(source, name, keep_lines=False) for name, source in sources.items()})
