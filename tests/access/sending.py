"""What phones send, and the questions to the manager that come of it."""

from tests import factories as make
from tests.access_table import Row, row


def question(cast):
    return make.QuestionFactory(barn=cast.barn, person=cast.staff, horse=cast.barn_horse).pk


SENDING = row("400 400 400 400 400 400", anonymous=401)

TABLE = {
    # A batch of nothing: who may send at all. What becomes of each event is tested one by one; leavers are heard.
    ("send", "POST"): Row({**SENDING.answers, "leaver": 400}),
    ("questions", "GET"): row("200 403 403 403 403 403"),
    ("question_answer", "POST"): row("302 404 404 404 404 404", pk=question, data={"answer": "dropped"}),
    ("question_picture", "GET"): row("404 404 404 404 404 404", pk=question),
    # What a phone may keep: staff pages, for staff who are no managers; nothing for the others.
    ("kept", "GET"): row("204 200 204 200 204 204"),
    ("kept_not_done", "GET"): row("404 200 404 200 404 404"),
    ("kept_other", "GET"): row("404 200 404 200 404 404"),
    ("kept_hand_check", "GET"): row("404 200 404 200 404 404"),
    ("kept_blanket", "GET"): row("404 200 404 200 404 404"),
    ("kept_no_signal", "GET"): row("404 200 404 200 404 404"),
    ("kept_damage", "GET"): row("404 200 404 200 404 404"),
}
