"""Space frames: nodes and bars in; displacements, forces and the buckling factor out. Knows nothing of carts."""

from floorwright.propose.aid.frame.along import Along
from floorwright.propose.aid.frame.analyse import analyse, solve_many
from floorwright.propose.aid.frame.model import (
    DOFS,
    HELD,
    PINNED,
    RIGID,
    Bar,
    Frame,
    Joint,
    Member,
    NodeLoad,
    PointLoad,
    Settlement,
    UniformLoad,
)
from floorwright.propose.aid.frame.results import Analysis, Combination

__all__ = [
    "DOFS",
    "HELD",
    "PINNED",
    "RIGID",
    "Along",
    "Analysis",
    "Bar",
    "Combination",
    "Frame",
    "Joint",
    "Member",
    "NodeLoad",
    "PointLoad",
    "Settlement",
    "UniformLoad",
    "analyse",
    "solve_many",
]
