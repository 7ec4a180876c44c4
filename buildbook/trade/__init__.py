"""The trade's computations: pure functions, numbers in, numbers out, each with unit, formula and source."""
