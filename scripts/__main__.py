"""Runs one of the project's commands: serve, build, test or lock."""

import sys

from workshop.commands import main

sys.exit(main(sys.argv[1:]))
