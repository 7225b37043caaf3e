"""One of two processes that act at the same moment: reads a job, says it is ready, waits for the word, answers.

Run as `python -m tests.promises.racer`; the database is that of DATABASE_URL. A line each way, answers in JSON.
"""

import json
import sys
from importlib import import_module

import django
from django.db import connection


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> None:
    django.setup()
    jobs = import_module("tests.promises.race_jobs")
    connection.ensure_connection()
    say("here")
    for line in sys.stdin:
        job = json.loads(line)
        say("ready")
        sys.stdin.readline()
        say(json.dumps(jobs.carry_out(job)))


if __name__ == "__main__":
    main()
