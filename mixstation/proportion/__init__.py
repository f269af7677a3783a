"""Mix arithmetic: pure formulas, floats in kilograms, litres, millimetres and degrees Celsius, each with its source."""
