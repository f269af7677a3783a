"""A measured consistency: what a test can come out as, and the mean of a spread's two diameters."""

from fractions import Fraction
from typing import Literal

import pytest

from mixstation.batch.commands import Judge
from mixstation.batch.events import ConsistencyJudged
from mixstation.batch.measured import measured_figure
from mixstation.batch.refusal import NoFigure, NoSpread, OutOfRound, RefusedError
from mixstation.recipe.model import ConsistencyStep
from tests.batch.making import raw

MM = 1000


@pytest.mark.parametrize("figure", [2, 49, 501, 2250])
def test_no_spread_comes_out_so(figure: int) -> None:
    bench = raw().goes_to("spread")
    refused = bench.refuses(Judge(verdict=None, figure=figure))
    assert refused == NoSpread(across_mm=Fraction(figure), least_mm=Fraction(50), most_mm=Fraction(500))
    assert bench.step == "spread"


@pytest.mark.parametrize(
    ("across_mm", "mean_mm", "verdict"),
    [
        ((220, 230), 225, "right"),
        # A half is rounded up: 204.5 mm is a spread of 205.
        ((204, 205), 205, "right"),
        ((204, 204), 204, "too-stiff"),
        ((246, 245), 246, "too-loose"),
        ((190, 215), 203, "too-stiff"),
    ],
)
def test_a_spread_is_the_mean_of_both_ways(across_mm: tuple[int, int], mean_mm: int, verdict: str) -> None:
    """ASTM C1856 with the measuring of C1437, from memory: the mean of the diameters."""
    across_um = (across_mm[0] * MM, across_mm[1] * MM)
    bench = raw().goes_to("spread")
    fact = bench.does(Judge(verdict=None, across_um=across_um))[0]
    assert isinstance(fact, ConsistencyJudged)
    assert (fact.figure, fact.verdict, fact.across_um) == (mean_mm, verdict, across_um)


@pytest.mark.parametrize("across_mm", [(150, 250), (225, 22), (5, 225), (600, 225)])
def test_diameters_that_are_no_spread_are_measured_again(across_mm: tuple[int, int]) -> None:
    bench = raw().goes_to("spread")
    refused = bench.refuses(Judge(verdict=None, across_um=(across_mm[0] * MM, across_mm[1] * MM)))
    assert isinstance(refused, OutOfRound | NoSpread)


@pytest.mark.parametrize(
    ("method", "figure", "refused"),
    [
        ("flow", 301, NoFigure(figure=301, least=0, most=300)),
        ("rings", 21, NoFigure(figure=21, least=0, most=20)),
    ],
)
def test_no_flow_or_ring_comes_out_so(
    method: Literal["flow", "rings"], figure: int, refused: NoFigure
) -> None:
    step = ConsistencyStep(key="moves", method=method, least=3, most=8)
    assert measured_figure(step, figure - 1) == figure - 1
    with pytest.raises(RefusedError) as error:
        measured_figure(step, figure)
    assert error.value.refusal == refused
