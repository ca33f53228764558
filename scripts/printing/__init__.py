"""The books: pages of the built site put into one document each and printed by a browser without a window.

Needs the packages of the tests, and is run in the project's own Python by `./scripts/print`.
"""
