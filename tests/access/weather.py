from barnrugs.weather import shipped
from barnrugs.weather.models import WeatherSource
from tests import factories as make
from tests.access_table import row
from tests.cast import Cast
from tests.weather import files

MANAGERS = "200 403 403 403 403 403"


def a_former_file(cast: Cast) -> int:
    """The older of two; the same ones for everybody who is asked."""
    sources = WeatherSource.objects.filter(barn=cast.barn).order_by("pk")
    while sources.count() < 2:
        make.WeatherSourceFactory(barn=cast.barn)
    return sources[0].pk


TABLE = {
    ("weather", "GET"): row(MANAGERS),
    ("weather_send", "GET"): row(MANAGERS),
    ("weather_send", "POST"): row(
        "302 403 403 403 403 403", data={"file": lambda cast: files.upload(files.lines(shipped.ALASKA))}
    ),
    ("weather_use", "POST"): row("302 403 403 403 403 403", pk=a_former_file),
}
