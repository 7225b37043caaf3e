from tests.access_table import row

JOB = "care_job"
"""A wash of another owner's blanket, reported."""

DECIDE = {"turn": "0", "decision": "wash"}

TABLE = {
    ("care", "GET"): row("200 200 200 200 200 200"),
    ("care_many", "POST"): row("302 400 400 400 302 400", data={"act": "here", "jobs": lambda cast: cast.care_job.pk}),
    ("care_rules", "GET"): row("200 403 403 403 403 403"),
    ("care_rules", "POST"): row("200 403 403 403 403 403"),
    ("care_job", "GET"): row("200 200 404 200 200 404", pk=JOB),
    ("care_step", "GET"): row("200 403 404 403 200 404", pk=JOB, word=lambda cast: "decide"),
    ("care_step", "POST"): row("302 403 404 403 302 404", pk=JOB, word=lambda cast: "decide", data=DECIDE),
    ("care_step", "GET", "fix"): row("200 200 404 200 200 404", pk=JOB, word=lambda cast: "fix"),
    ("care_step", "GET", "no such word"): row("404 404 404 404 404 404", pk=JOB, word=lambda cast: "report"),
    ("care_ask", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("care_ask", "POST"): row("302 302 302 302 404 404", pk="owners_blanket", data={"kind": "wash"}),
    ("damage", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("damage", "POST"): row("302 302 302 302 404 404", pk="owners_blanket", data={"part": "strap", "use": "usable"}),
    ("horse_damage", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("horse_damage", "POST"): row(
        "302 302 302 302 404 404",
        pk="owners_horse",
        data={"part": "shell", "use": "do_not_use", "blanket": lambda cast: cast.worn.pk},
    ),
    ("paper", "GET"): row("404 404 404 404 404 404", pk=lambda cast: 1),
}
