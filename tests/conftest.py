from urllib.parse import quote, urlencode

import hypothesis
import pytest
from django.conf import settings as django_settings
from django.db import connection

from tests.cast import act, barn, cast, sign_in
from tests.flush import flush_without_triggers
from tests.media import media_in_a_folder_of_its_own

__all__ = ["act", "barn", "cast", "flush_without_triggers", "media_in_a_folder_of_its_own", "sign_in"]

hypothesis.settings.register_profile("house", derandomize=True, deadline=None, print_blob=True, database=None)
hypothesis.settings.load_profile("house")


def pytest_configure() -> None:
    django_settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def pytest_report_header() -> str:
    engine = django_settings.DATABASES["default"]["ENGINE"].rpartition(".")[2]
    return f"database: {engine}, harness size: {django_settings.HARNESS}"


@pytest.fixture
def database_url(transactional_db: None) -> str:
    """The tests' database as another process must name it in DATABASE_URL."""
    told = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite://{quote(told['NAME'])}"
    who = f"{quote(told['USER'])}:{quote(told['PASSWORD'])}"
    query = urlencode({"host": told["HOST"], **told["OPTIONS"]})
    port = f":{told['PORT']}" if told["PORT"] else ""
    return f"postgresql://{who}@localhost{port}/{quote(told['NAME'])}?{query}"
