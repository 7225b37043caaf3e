"""Shared phones, and one's own PIN for them."""

from tests.access_table import row

PIN = {"pin": "2580", "again": "2580"}

TABLE = {
    ("devices", "GET"): row("200 403 403 403 403 403"),
    ("device_add", "GET"): row("200 403 403 403 403 403"),
    ("device_add", "POST"): row("200 403 403 403 403 403", data={"name": "Phone"}),
    ("device_change", "GET"): row("200 404 404 404 404 404", pk="phone"),
    ("device_change", "POST"): row("302 404 404 404 404 404", pk="phone", data={"name": "Phone"}),
    ("device_revoke", "GET"): row("200 404 404 404 404 404", pk="phone"),
    ("device_revoke", "POST"): row("302 404 404 404 404 404", pk="phone"),
    ("my_pin", "GET"): row("200 200 403 200 403 403"),
    ("my_pin", "POST"): row("302 302 403 302 403 403", data=PIN),
}
