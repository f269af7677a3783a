"""Pigment against its caps."""

import math

import pytest

from mixstation.proportion.error import ProportionError
from mixstation.proportion.pigment import PigmentDose, check_pigment


def test_a_plain_dose_under_the_general_cap() -> None:
    check = check_pigment([PigmentDose(name="black", mass_kg=0.25)], cement_kg=4)
    assert (check.total_fraction, check.cap_fraction, check.capped_by, check.over_kg) == (
        0.0625,
        0.10,
        None,
        0,
    )


def test_the_smallest_own_cap_rules_the_whole_blend() -> None:
    blend = [
        PigmentDose(name="red", mass_kg=0.3, max_fraction=0.08),
        PigmentDose(name="yellow", mass_kg=0.2, max_fraction=0.04),
    ]
    check = check_pigment(blend, cement_kg=10)
    assert (check.cap_fraction, check.capped_by) == (0.04, "yellow")
    assert check.over_kg == pytest.approx(0.1)


def test_an_own_cap_above_the_general_one_does_not_lift_it() -> None:
    check = check_pigment([PigmentDose(name="white", mass_kg=1.2, max_fraction=0.15)], cement_kg=10)
    assert (check.cap_fraction, check.capped_by) == (0.10, None)
    assert check.over_kg == pytest.approx(0.2)


def test_a_pigment_that_is_not_used_sets_no_cap() -> None:
    doses = [
        PigmentDose(name="red", mass_kg=0.5),
        PigmentDose(name="blue", mass_kg=0, max_fraction=0.02),
    ]
    assert check_pigment(doses, cement_kg=10).cap_fraction == 0.10


@pytest.mark.parametrize(
    "dose",
    [
        PigmentDose(name="red", mass_kg=-0.1),
        PigmentDose(name="red", mass_kg=math.nan),
        PigmentDose(name="red", mass_kg=0.1, max_fraction=1.5),
        PigmentDose(name="red", mass_kg=0.1, max_fraction=math.nan),
    ],
)
def test_a_spoilt_dose_is_refused(dose: PigmentDose) -> None:
    with pytest.raises(ProportionError):
        check_pigment([dose], cement_kg=10)
