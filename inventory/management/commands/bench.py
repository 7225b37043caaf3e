"""Speed as ratios within one run, so that the machine matters little."""

import time
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from barnrugs.matching.bench import heat_bench
from inventory.bench import page_bench

AT_LEAST_LOOP, AT_MOST_PLAIN, AT_MOST_BYTES = 40, 8, 400_000_000


class Command(BaseCommand):
    help = "Measures the heat balance and the whole-barn page against plain work in the same run."

    def handle(self, *args: Any, **options: Any) -> None:
        heat = heat_bench(time.perf_counter)
        missed = [
            what
            for what, holds in {
                f"at least {AT_LEAST_LOOP} times faster than a plain loop": heat.faster_than_loop >= AT_LEAST_LOOP,
                f"under {AT_MOST_BYTES / 1e6:.0f} MB": heat.peak_bytes < AT_MOST_BYTES,
                f"at most {AT_MOST_PLAIN} times thirty multiply-adds": heat.times_plain <= AT_MOST_PLAIN,
            }.items()
            if not holds
        ]
        self.stdout.write(f"(a) heat balance, {heat.cells:,} cells: {heat.arrays_s:.2f} s")
        self._row("    faster than a plain loop", heat.faster_than_loop, f"at least {AT_LEAST_LOOP}")
        self._row("    peak memory, MB", heat.peak_bytes / 1e6, f"under {AT_MOST_BYTES / 1e6:.0f}")
        self._row("    largest difference from the loop, degC", heat.worst_c, "rounding")
        self._row("(b) times thirty multiply-adds", heat.times_plain, f"at most {AT_MOST_PLAIN}")
        name = connection.creation.create_test_db(verbosity=0, serialize=False)
        try:
            for horses, blankets in ((20, 100), (60, 300)):
                page = page_bench(time.perf_counter, horses=horses, blankets=blankets)
                self.stdout.write(
                    f"(c) tonight, {horses} horses x {blankets} blankets on {connection.vendor}: {page.page_s:.2f} s, "
                    f"{page.queries} queries, {page.bytes_sent / 1000:.0f} kB"
                )
                self._row("    times a bare page", page.times_bare, "reported")
        finally:
            connection.creation.destroy_test_db(name, verbosity=0)
        if missed:
            raise CommandError(f"Not met: {'; '.join(missed)}.")

    def _row(self, what: str, value: float, bound: str) -> None:
        self.stdout.write(f"{what:<44} {value:>10.3g}   ({bound})")
