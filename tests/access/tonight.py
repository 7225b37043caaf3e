from tests.access_table import row

HORSE = "owners_horse"

TABLE = {
    ("tonight", "GET"): row("200 200 200 200 200 200"),
    ("choose", "GET"): row("200 200 200 200 404 404", pk=HORSE),
    ("wear", "GET"): row("200 200 200 200 404 404", pk=HORSE),
    ("wear", "POST"): row("302 302 302 302 404 404", pk=HORSE, data={"tags": lambda cast: cast.owners_blanket.tag}),
    ("wear", "POST", "barn's own"): row(
        "302 302 400 302 404 404", pk=HORSE, data={"tags": lambda cast: cast.barn_blanket.tag}
    ),
    # Nothing was changed of late: one is led back, or told so.
    ("last_change", "GET"): row("302 302 302 302 404 404", pk=HORSE),
    ("last_change", "POST"): row(
        "200 200 200 200 404 404", pk=HORSE, data={"at": lambda cast: cast.wearing.on_at.isoformat()}
    ),
    ("take_off", "POST"): row("302 302 302 302 404 404", pk="wearing"),
}
