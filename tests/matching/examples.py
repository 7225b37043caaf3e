"""How many examples a law is tried on: BARNRUGS_HARNESS of the whole, a twentieth unless it says otherwise."""

import os


def examples(whole: int = 10_000) -> int:
    return max(1, round(whole * float(os.environ.get("BARNRUGS_HARNESS", "0.05"))))
