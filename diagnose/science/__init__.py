"""The formulas of ink and press: pure functions that know nothing of the rules."""
