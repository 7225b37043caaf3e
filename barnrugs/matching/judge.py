"""One outfit judged: refusals, verdict, reasons."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from barnrugs.matching.outfit import Outfit
from barnrugs.matching.reasons import Level, Reason
from barnrugs.matching.words import Position, Refusal, Verdict

Hours = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class JudgedOutfit:
    """One outfit for one horse and stay, with its band hour by hour (arrays over the stay's hours, degC)."""

    outfit: Outfit
    verdict: Verdict
    refused: Refusal | None
    reasons: tuple[Reason, ...]
    score: float
    tog: float
    hay_kg_per_day: float
    low_c: Hours
    high_c: Hours
    air_c: Hours
    cold_c: Hours
    warm_c: Hours
    in_hand: bool
    liner_met: bool
    worn_now: bool

    @property
    def tags(self) -> tuple[str, ...]:
        return self.outfit.tags

    @property
    def neck(self) -> bool:
        return self.outfit.neck

    @property
    def cautions(self) -> tuple[Reason, ...]:
        return tuple(reason for reason in self.reasons if reason.level is Level.CAUTION)

    @property
    def cold_degree_hours(self) -> float:
        return float(self.cold_c.sum())

    @property
    def warm_degree_hours(self) -> float:
        return float(self.warm_c.sum())

    @property
    def band_c(self) -> tuple[float, float]:
        """The band of the whole stay: largest low_c to smallest high_c, degC."""
        return float(self.low_c.max()), float(self.high_c.min())

    @property
    def positions(self) -> tuple[tuple[Position, float], ...]:
        """For every hour where the air stands against the band, and by how many degC outside it."""
        return tuple(_position(cold, warm) for cold, warm in zip(self.cold_c, self.warm_c, strict=True))


def _position(cold_c: float, warm_c: float) -> tuple[Position, float]:
    if cold_c > 0:
        return Position.COLD, float(cold_c)
    return (Position.WARM, float(warm_c)) if warm_c > 0 else (Position.INSIDE, 0.0)
