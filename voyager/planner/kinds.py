"""The kinds of day that a plan looks at: the chosen sky, the nodes of many skies, the poor day of every class.

Layout of the kinds in a frame: 0 the chosen sky; with many skies 1 to X their nodes. Poor days: 0 that of a skipper who
knows nothing of the day; with many skies 1 to Y those of the classes, darkest first.
"""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from voyager.energy.climate import Climate
from voyager.energy.weather import Kinds
from voyager.sky.air import correlation
from voyager.sky.days import CLASSES, POOR_PROBABILITY, round_scores
from voyager.sky.normal import normal_quantile

if TYPE_CHECKING:
    from voyager.sky.chances import Prior

Floats = NDArray[np.float64]
ONE_SKY = 0
NODES_FROM = 1
"""Numbers of the chosen sky and of the first node among the kinds."""


def kinds_of(
    known: Climate, day_of_year: NDArray[np.int64], lat_deg: float, sky: str, skill: float, many: bool
) -> Kinds:
    """Scores of all kinds by day; a forecast shifts and narrows every one of them and fades after its last day."""
    from voyager.sky.chances import NODES, poor_scores, prior_of

    prior = prior_of(np.asarray(day_of_year, dtype=float), lat_deg, known.mean, known.spread)
    centre, width = prior.mean[:, None], prior.spread[:, None]
    round_ = round_scores(sky, day_of_year, lat_deg)[:, None]
    tied = correlation(day_of_year, lat_deg)[:, None]
    off = air_ahead(known, prior, day_of_year, lat_deg)[:, None]
    score = centre + width * round_
    poor = centre + width * normal_quantile(POOR_PROBABILITY)
    if not many:
        return Kinds(score, tied * score - off, poor)
    nodes = np.broadcast_to(NODES, (len(score), len(NODES)))
    classes = poor_scores(day_of_year, skill, len(CLASSES), known.mean, known.spread, lat_deg)
    return Kinds(
        np.concatenate([score, nodes], axis=1),
        tied * np.concatenate([score, nodes], axis=1) - off,
        np.concatenate([poor, classes], axis=1),
    )


def air_ahead(known: Climate, prior: "Prior", day_of_year: NDArray[np.int64], lat_deg: float) -> Floats:
    """What the air's score would be by the forecast of clearness alone (D,), where the air itself is told: there the
    mean holds it already."""
    return np.asarray(correlation(day_of_year, lat_deg) * known.air_told * prior.mean)
