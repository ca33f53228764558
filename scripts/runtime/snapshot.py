"""Brings the interpreter into the state in which its memory is written down."""

import functools
import gc
import re
import sys
import types
import zipimport


def exercise():
    """Import what every page may need; the rest of calc lies in the small zip that the snapshot carries."""
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


exercise()
forget_what_can_be_had_again()
forget_files()
