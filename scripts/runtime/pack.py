"""Picks the modules that `calc` really imports, and packs them together with `calc`.

Runs after compiling.py in the same interpreter, and uses its functions.
"""

import importlib
import pathlib
import sys
import traceback
import zipfile

LIBRARY = "/lib/python314.zip"
# Files of calc that are read while it runs.
DATA = {".csv", ".toml", ".txt"}


def calculators(folder):
    """`calc` as the page gets it: without the command line, with its line numbers for error reports."""
    files = {}
    for file in sorted(pathlib.Path(folder).rglob("*")):
        name = f"calc/{file.relative_to(folder).as_posix()}"
        if file.suffix == ".py" and name != "calc/__main__.py":
            files[f"{name}c"] = compiled(file.read_bytes(), name, keep_lines=True)
        elif file.suffix in DATA:
            files[name] = file.read_bytes()
    return files


def exercise():
    """Import and do everything the page may do, so that every module it needs is loaded."""
    from calc import browser

    browser.warm_up()
    try:
        raise ValueError("an error report needs modules too")
    except ValueError:
        traceback.format_exc()


def loaded_from(archive):
    """The names in `archive` of all modules loaded from it so far."""
    # Not __file__: modules frozen into the interpreter give a path in the archive too.
    specs = (getattr(module, "__spec__", None) for module in list(sys.modules.values()))
    origins = {str(spec.origin) for spec in specs if spec}
    return {origin.removeprefix(f"{archive}/") for origin in origins if origin.startswith(f"{archive}/")}


def pack(calc, library_path, data_path):
    """Write the library, and apart from it what the memory of the snapshot will not hold: files, and modules that few pages need."""
    files = calculators(calc)
    write_zip("/calc.zip", files)
    sys.path.insert(0, "/calc.zip")
    exercise()
    in_memory = loaded_from("/calc.zip") | loaded_from(LIBRARY)
    import_all(files)
    with zipfile.ZipFile(LIBRARY) as library:
        files |= {name: library.read(name) for name in loaded_from(LIBRARY)}
    write_zip(library_path, files)
    write_zip(data_path, {name: content for name, content in files.items() if name not in in_memory})


def import_all(files):
    """Also what only some pages import: what it needs is packed too, and what cannot run here ends the build."""
    for name in files:
        if name.endswith(".pyc"):
            importlib.import_module(name.removesuffix(".pyc").removesuffix("/__init__").replace("/", "."))
