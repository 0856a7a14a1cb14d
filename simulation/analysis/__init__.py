"""What the replications say: risk bands, drivers, use, the chance of a deadline, and yardsticks beside them."""

from simulation.analysis.book import ByTheBook, by_the_book
from simulation.analysis.chances import Chance, chance_among, chance_of
from simulation.analysis.deadline import Deadline, DeadlineChance, deadline_chance, read_deadline
from simulation.analysis.drivers import Driver, drivers_of
from simulation.analysis.likelihood_words import likelihood
from simulation.analysis.milestones import MilestoneForecast, milestones_of
from simulation.analysis.moments import Calendar, Moment
from simulation.analysis.outcomes import Against, Outcome, against, outcome_of
from simulation.analysis.paired import Difference
from simulation.analysis.people import People, people_of
from simulation.analysis.quantiles import QuantileEstimate, estimate, order_statistic
from simulation.analysis.readiness import Forecast, NothingFinished, calendar_of, forecast, read_builds
from simulation.analysis.supply import Gate, Shortage, ShortOf, gate_of, shortage_of
from simulation.analysis.use import Use, use_of
from simulation.analysis.yardsticks import PUBLISHED, AsSlow, Published, Yardsticks, as_slow_as_published, yardsticks_of

__all__ = [
    "PUBLISHED",
    "Against",
    "AsSlow",
    "ByTheBook",
    "Calendar",
    "Chance",
    "Deadline",
    "DeadlineChance",
    "Difference",
    "Driver",
    "Forecast",
    "Gate",
    "MilestoneForecast",
    "Moment",
    "NothingFinished",
    "Outcome",
    "People",
    "Published",
    "QuantileEstimate",
    "ShortOf",
    "Shortage",
    "Use",
    "Yardsticks",
    "against",
    "as_slow_as_published",
    "by_the_book",
    "calendar_of",
    "chance_among",
    "chance_of",
    "deadline_chance",
    "drivers_of",
    "estimate",
    "forecast",
    "gate_of",
    "likelihood",
    "milestones_of",
    "order_statistic",
    "outcome_of",
    "people_of",
    "read_builds",
    "read_deadline",
    "shortage_of",
    "use_of",
    "yardsticks_of",
]
