"""Runs one of the project's commands: serve, build, print, test, bench or lock."""

import sys

from workshop.commands import main

sys.exit(main(sys.argv[1:]))
