"""The history of a queue, drawn: bars for its length, a line for its median age, week by week."""

from dataclasses import dataclass

from inventory.queries.care_queue import Week

WIDTH, HEIGHT = 360, 150
LEFT, TOP, BOTTOM = 26, 28, 26


@dataclass(frozen=True)
class Bar:
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Chart:
    weeks: list[Week]
    bars: list[Bar]
    line: str
    most: int
    oldest: int
    base: int = HEIGHT - BOTTOM
    left: int = LEFT
    right: int = WIDTH - LEFT
    middle: int = WIDTH // 2

    @property
    def first(self) -> Week:
        return self.weeks[0]

    @property
    def last(self) -> Week:
        return self.weeks[-1]


def draw(weeks: list[Week]) -> Chart | None:
    """Nothing to draw where the queue was empty all along."""
    most = max((week.length for week in weeks), default=0)
    if most == 0:
        return None
    oldest = max(1, *(week.median_days for week in weeks))
    step = (WIDTH - 2 * LEFT) / len(weeks)
    high = HEIGHT - TOP - BOTTOM
    bars = [
        Bar(round(LEFT + place * step + 1, 1), round(HEIGHT - BOTTOM - tall, 1), round(step - 2, 1), round(tall, 1))
        for place, week in enumerate(weeks)
        for tall in [high * week.length / most]
    ]
    points = [
        f"{LEFT + (place + 0.5) * step:.1f},{HEIGHT - BOTTOM - high * week.median_days / oldest:.1f}"
        for place, week in enumerate(weeks)
    ]
    return Chart(weeks, bars, " ".join(points), most, oldest)
