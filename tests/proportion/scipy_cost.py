"""The least cost of a programme by another road."""

from mixstation.proportion.programme import Linear, Programme


def scipy_cost(programme: Programme, cost: Linear) -> float | None:
    """Least cost by `scipy.optimize.milp`, or None where there is no solution."""
    # Slow to load, for two files of tests.
    import numpy as np
    from scipy import optimize

    width = len(programme.unknowns)
    matrix = np.zeros((len(programme.rows), width))
    for number, row in enumerate(programme.rows):
        for place, factor in row.factors.items():
            matrix[number, place] = factor
    found = optimize.milp(
        [cost.factors.get(place, 0.0) for place in range(width)],
        constraints=optimize.LinearConstraint(
            matrix, [row.low for row in programme.rows], [row.high for row in programme.rows]
        ),
        integrality=[int(unknown.whole) for unknown in programme.unknowns],
        bounds=optimize.Bounds(
            [unknown.low for unknown in programme.unknowns], [unknown.high for unknown in programme.unknowns]
        ),
        options={"mip_rel_gap": 0.0},
    )
    assert found.status in (0, 2), found.message
    return float(found.fun) + cost.constant if found.status == 0 else None
