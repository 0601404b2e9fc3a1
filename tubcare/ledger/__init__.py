"""Money, stock, write-off, budgets, reviews. Pure.

Amounts are whole minor units of the logbook's currency, quantities whole thousandths of a unit.
Two views of the same facts: *paid*, what left the wallet, and *used*, what the tub consumed.
"""
