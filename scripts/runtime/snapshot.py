"""Brings the interpreter into the state in which its memory is written down."""

import functools
import gc
import importlib
import re
import sys
import types
import zipimport

LIBRARY = "/lib/python314.zip"


def import_calc():
    """Every module: once restored there is nothing to import from."""
    for name in zipimport.zipimporter(LIBRARY)._get_files():
        if name.startswith("calc/") and name.endswith(".pyc"):
            importlib.import_module(name.removesuffix(".pyc").removesuffix("/__init__").replace("/", "."))


def exercise():
    from calc import browser

    browser.warm_up()


def forget_what_can_be_had_again():
    """Caches of limited size, and annotations, which only imports needed. Tables that were read stay."""
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper) and each.cache_parameters()["maxsize"] is not None:
            each.cache_clear()
        elif isinstance(each, types.FunctionType):
            each.__annotate__ = None
    re.purge()
    sys._clear_internal_caches()


def forget_files():
    """What is known of the library's file is not true of the one that will lie there."""
    zipimport._zip_directory_cache.clear()
    sys.path_importer_cache.clear()


import_calc()
exercise()
forget_what_can_be_had_again()
forget_files()
