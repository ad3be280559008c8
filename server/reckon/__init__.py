"""The reckoning: strength, quantity, reduction, blends, wash. Pure: nothing but its own data, no clock."""

from server.reckon.liquid import mixture, to_mg, view
from server.reckon.refusal import ReckonError
from server.reckon.units import from_base, number_of, to_base
from server.reckon.wants import reckon

__all__ = ["ReckonError", "from_base", "mixture", "number_of", "reckon", "to_base", "to_mg", "view"]
