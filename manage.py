#!/usr/bin/env python
import os
import sys

from django.core.exceptions import ImproperlyConfigured
from django.core.management import execute_from_command_line


def default_mode(arguments: list[str]) -> str:
    """The demo keeps to its own data folder; every other command works on the barn's."""
    return "demo" if arguments[1:2] == ["demo"] else "development"


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "barnrugs.settings")
    os.environ.setdefault("BARNRUGS_MODE", default_mode(sys.argv))
    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as wrong:
        sys.exit(f"This cannot run as it is set up: {wrong}.")
