"""Sets the project up, builds the site, serves it and runs the tests.

Uses the standard library alone, because it runs before anything is installed.
"""
