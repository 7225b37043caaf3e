from inventory.models.batch import Batch, BatchLine
from inventory.models.blanket import Blanket, Leave, Placing
from inventory.models.care import CareJob, CareMove, CareRules, Paper
from inventory.models.charts import Chart, ChartRow
from inventory.models.fit import FitNote
from inventory.models.hand_checks import HandCheck
from inventory.models.imports import ImportLine, ImportRun, ImportWord
from inventory.models.lists import ChangeList, ListLine
from inventory.models.mail import MailChoice, MailSent
from inventory.models.money import FeeReason, FeeRule
from inventory.models.picture import Picture
from inventory.models.questions import Question
from inventory.models.saved_view import SavedView
from inventory.models.wearing import Wearing

__all__ = [
    "Batch",
    "BatchLine",
    "Blanket",
    "CareJob",
    "CareMove",
    "CareRules",
    "ChangeList",
    "Chart",
    "ChartRow",
    "FeeReason",
    "FeeRule",
    "FitNote",
    "HandCheck",
    "ImportLine",
    "ImportRun",
    "ImportWord",
    "Leave",
    "ListLine",
    "MailChoice",
    "MailSent",
    "Paper",
    "Picture",
    "Placing",
    "Question",
    "SavedView",
    "Wearing",
]
