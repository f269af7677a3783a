"""Closed-form corrections: how much to grow or shrink a batch whose amounts are not what was planned.

Two factors must not be mixed up. Growing everything, polymer included, the polymer brings its own share of water
again, so the factor stands on the water *added*. Growing dry powder alone, no water comes with it, so the factor
stands on *all* the water.
"""

from mixstation.proportion.error import need_not_negative, need_positive


def _over(actual_kg: float, target_kg: float) -> float:
    """Actual over target, 1 where nothing went over."""
    need_not_negative(actual_kg=actual_kg)
    need_positive(target_kg=target_kg)
    return max(1.0, actual_kg / target_kg)


def growth_ratio(*, actual_kg: float, target_kg: float) -> float:
    """Factor on everything else when one material went over, so that every proportion is as planned again.

    For too much water give the water *added*, not the water that polymer or sand carries: they grow too.

    Args:
        actual_kg: What went in of that material, 0 or more.
        target_kg: What was to go in, above 0.

    Returns:
        Factor, 1 or more; 1 where nothing went over.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive".

    Source:
        Definition.

    Example:
        >>> growth_ratio(actual_kg=2.2, target_kg=2.0)
        1.1
    """
    return _over(actual_kg, target_kg)


def powder_growth_ratio(*, actual_all_water_kg: float, target_all_water_kg: float) -> float:
    """Factor on the dry powder alone that brings the water ratio back when too much water went in.

    Args:
        actual_all_water_kg: All-in water there is, 0 or more.
        target_all_water_kg: All-in water planned, above 0.

    Returns:
        Factor, 1 or more; 1 where nothing went over.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive".

    Source:
        Definition.

    Example:
        >>> powder_growth_ratio(actual_all_water_kg=3.5, target_all_water_kg=2.8)
        1.25
    """
    return _over(actual_all_water_kg, target_all_water_kg)


def powder_growth_to_limit_ratio(*, all_water_kg: float, basis_kg: float, max_water_ratio: float) -> float:
    """Factor on the dry powder that only just reaches the upper water limit; the cheaper half of a correction.

    Args:
        all_water_kg: All-in water there is, 0 or more.
        basis_kg: Powder the ratio stands on, above 0.
        max_water_ratio: Largest all-in water over basis, above 0.

    Returns:
        Factor, 1 or more; 1 where the limit is already kept.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive".

    Source:
        Definition.

    Example:
        >>> round(powder_growth_to_limit_ratio(all_water_kg=4.2, basis_kg=10, max_water_ratio=0.4), 6)
        1.05
    """
    need_not_negative(all_water_kg=all_water_kg)
    need_positive(basis_kg=basis_kg, max_water_ratio=max_water_ratio)
    return max(1.0, all_water_kg / (max_water_ratio * basis_kg))


def shrink_ratio(*, available_kg: float, target_kg: float) -> float:
    """Factor on every other target when a material runs short.

    Args:
        available_kg: What there is of it, 0 or more.
        target_kg: What was to go in, above 0.

    Returns:
        Factor, 0 to 1; 1 where there is enough.

    Raises:
        ProportionError: "not-finite", "negative", "not-positive".

    Source:
        Definition.

    Example:
        >>> shrink_ratio(available_kg=4.5, target_kg=5.0)
        0.9
    """
    need_not_negative(available_kg=available_kg)
    need_positive(target_kg=target_kg)
    return min(1.0, available_kg / target_kg)


def surplus_after_shrink_kg(*, in_already_kg: float, target_kg: float, shrink_ratio: float) -> float:
    """How much more of a material is in than the shrunk batch allows.

    More than nothing means that shrinking alone will not do: find powder, or discard.

    Args:
        in_already_kg: What is in of that material, 0 or more.
        target_kg: What was to go in before shrinking, 0 or more.
        shrink_ratio: Factor from `shrink_ratio`, 0 or more.

    Returns:
        Surplus in kg, 0 or more.

    Raises:
        ProportionError: "not-finite", "negative".

    Source:
        Definition.

    Example:
        >>> round(surplus_after_shrink_kg(in_already_kg=2.9, target_kg=3.0, shrink_ratio=0.9), 6)
        0.2
    """
    need_not_negative(in_already_kg=in_already_kg, target_kg=target_kg, shrink_ratio=shrink_ratio)
    return max(0.0, in_already_kg - target_kg * shrink_ratio)
