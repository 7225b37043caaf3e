from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from barnrugs.barns.models import Barn
from barnrugs.weather import notes
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.hours import WeatherFileFault, WeatherYear
from barnrugs.weather.sources import read


class Command(BaseCommand):
    help = "Loads a typical year (TMY3 or EPW) as a barn's weather. A damaged file: a line per fault, exit 2."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("barn", help="the barn's name in the address")
        parser.add_argument("file", type=Path)
        parser.add_argument("--name", default="", help="what the barn calls it; the file's name if not given")

    def handle(self, *args: Any, **options: Any) -> None:
        path: Path = options["file"]
        year = self._read(path)
        barn = Barn.objects.filter(slug=options["barn"]).first()
        if barn is None:
            raise CommandError(f"There is no barn {options['barn']}.", returncode=2)
        source = load_year(barn, year, name=options["name"] or path.name)
        self.stdout.write(
            f"{source.name}: {len(year.hours):,} hours at {year.site.name}. {notes.say(year.notes)}".strip()
        )

    def _read(self, path: Path) -> WeatherYear:
        try:
            return read(path)
        except WeatherFileFault as fault:
            lines = "\n".join(f"{fault.name}: {one}" for one in fault.faults)
            raise CommandError(lines, returncode=2) from fault
