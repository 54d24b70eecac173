"""Two published networks of distances, with every digit that is printed.

Both stand in F. Krumm, *Geodetic Network Adjustment Examples*, Geodätisches Institut, Universität
Stuttgart, rev. 3.5, 2020, and with more digits in the test data of GNU Gama that carries them.
"""

import numpy as np
import pytest

from diagram.geometry.pose import Point, Pose
from diagram.survey.adjustment import Adjustment
from diagram.survey.network import Network, Rigid, Tape

SIGMA_M = 0.01

STRANG_BORRE = (
    {"1": (170.71, 270.71), "2": (100.00, 100.00), "3": (241.42, 100.00)},
    (170.71, 170.71),
    {"1": 100.01, "2": 100.02, "3": 100.03},
)
"""G. Strang and K. Borre, *Linear Algebra, Geodesy, and GPS* (1997), example 10.1, p. 345."""

BENNING = (
    {"1": (3000, 2000), "2": (1000, 2000), "3": (3000, 2100), "4": (1000, 2100), "5": (2000, 1000)},
    (2000.0, 2000.0),
    {"1": 1000.00, "2": 1000.00, "3": 1005.00, "4": 1005.00, "5": 1000.00},
)
"""W. Benning, *Statistik in Geodäsie, Geoinformation und Bauwesen* (2011), example 8-8, p. 285."""


def _adjusted(
    example: tuple[dict[str, Point], Point, dict[str, float]],
) -> Adjustment:
    known, start, distances = example
    network = Network(known, [Rigid("P", {"P": (0.0, 0.0)}, Pose(*start, 0.0))])
    return network.adjusted([Tape(a, "P", d, SIGMA_M) for a, d in distances.items()])


def test_strang_and_borre() -> None:
    found = _adjusted(STRANG_BORRE)
    # Seven decimals are printed.
    assert found.x == pytest.approx([170.7029254, 170.7233566], abs=1e-6)
    assert found.computed == pytest.approx([99.9866436, 100.0034841, 100.0134881], abs=1e-6)
    assert found.residuals * 1e3 == pytest.approx([-23.356, -16.516, -16.512], abs=5e-4)
    assert found.freedom == 1
    assert found.sigma0 * SIGMA_M * 1e3 == pytest.approx(33.0293, rel=2e-6)
    covariance = found.cofactors * found.sigma0**2 * 1e6
    assert np.diag(covariance) == pytest.approx([1091.14, 545.42], abs=5e-3)
    # The sign of the mixed term is that of the handedness of the axes.
    assert abs(covariance[0, 1]) == pytest.approx(0.0386, abs=5e-5)


def test_benning() -> None:
    found = _adjusted(BENNING)
    assert found.x == pytest.approx([2000.0, 1999.9975728], abs=1e-6)
    lengths = [1000.0, 1000.0, 1004.9878036, 1004.9878036, 999.9975728]
    assert found.computed == pytest.approx(lengths, abs=1e-6)
    assert found.freedom == 3
    assert found.sigma0 * SIGMA_M * 1e3 == pytest.approx(10.0564, abs=5e-5)
    variances = np.diag(found.cofactors * found.sigma0**2 * 1e6)
    assert variances == pytest.approx([25.4086, 99.1677], abs=5e-4)


@pytest.mark.parametrize("example", [STRANG_BORRE, BENNING])
def test_redundancy_numbers_add_up(
    example: tuple[dict[str, Point], Point, dict[str, float]],
) -> None:
    """Their sum is the trace of a projection: the degrees of freedom."""
    found = _adjusted(example)
    assert found.redundancy.sum() == pytest.approx(found.freedom, abs=1e-9)


def test_weights_count() -> None:
    """A tape with a tenth of the weight moves the point less than one of full weight."""
    known, start, distances = STRANG_BORRE
    network = Network(known, [Rigid("P", {"P": (0.0, 0.0)}, Pose(*start, 0.0))])
    plain = _adjusted(STRANG_BORRE)
    tapes = [Tape(a, "P", d, SIGMA_M * (10 if a == "1" else 1)) for a, d in distances.items()]
    found = network.adjusted(tapes)
    assert abs(found.residuals[0]) > 1.5 * abs(plain.residuals[0])
    assert np.all(np.abs(found.residuals[1:]) < 0.2 * np.abs(plain.residuals[1:]))
