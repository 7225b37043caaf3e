"""Weather sources, one module each, all with the same names: KIND, NAME, recognises(text), read(path_or_file).

A new source is a module with these names, a line in SOURCES and a file in its test that the general readers agree with.
"""

from django.utils.translation import gettext as _

from barnrugs.weather.hours import Fault, WeatherFileFault, WeatherYear
from barnrugs.weather.sources import epw, tmy3
from barnrugs.weather.text import PathOrFile, open_text

SOURCES = (tmy3, epw)
KINDS = [(source.KIND, source.NAME) for source in SOURCES]


def read(path_or_file: PathOrFile) -> WeatherYear:
    """The typical year in a file of any known kind. Raises WeatherFileFault with the lines and what is wrong."""
    text = open_text(path_or_file)
    for source in SOURCES:
        if source.recognises(text):
            year: WeatherYear = source.read(text)
            return year
    first, second = (source.NAME for source in SOURCES)
    wrong = _("the head of the file is neither that of %(first)s nor of %(second)s")
    raise WeatherFileFault(text.name, [Fault(1, wrong % {"first": first, "second": second})])
