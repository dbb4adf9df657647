"""The throat of a chamber: the least area through which all the air must pass, exact on lines and arcs."""

from platemaker.plane._throat._records import ChamberOpening, ChamberPiece, Throat, ThroatKind, ThroatPart
from platemaker.plane._throat._throat import throat

__all__ = ["ChamberOpening", "ChamberPiece", "Throat", "ThroatKind", "ThroatPart", "throat"]
