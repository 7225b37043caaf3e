from horses.models.horse import Horse, HorseOwner
from horses.models.measurement import Coat, Condition, Measurement
from horses.models.paddock import Paddock, PaddockStay

__all__ = ["Coat", "Condition", "Horse", "HorseOwner", "Measurement", "Paddock", "PaddockStay"]
