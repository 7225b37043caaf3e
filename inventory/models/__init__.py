from inventory.models.blanket import Blanket, Leave, Placing
from inventory.models.care import CareJob, CareMove
from inventory.models.fit import FitNote
from inventory.models.wearing import Wearing

__all__ = ["Blanket", "CareJob", "CareMove", "FitNote", "Leave", "Placing", "Wearing"]
