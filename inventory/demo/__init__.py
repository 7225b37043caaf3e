"""The demo barn: invented people, horses and blankets on a hard winter night, the same each time it is made."""

from inventory.demo.make import SLUG, make
from inventory.demo.night import lay_night

__all__ = ["SLUG", "lay_night", "make"]
