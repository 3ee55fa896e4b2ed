"""Strength of steel members by AISC 360: `strengths` once for a member, `interaction` for all its load cases.

Forces, lengths and stresses in SI. Only carbon steel: stainless and aluminium have their own codes, and every
strength of them is unknown here.
"""

from floorwright.propose.aid.steel.basis import Bracing, Method, Steel, Strength
from floorwright.propose.aid.steel.interaction import Interaction, interaction
from floorwright.propose.aid.steel.strengths import MemberStrengths, strengths

__all__ = [
    "Bracing",
    "Interaction",
    "MemberStrengths",
    "Method",
    "Steel",
    "Strength",
    "interaction",
    "strengths",
]
