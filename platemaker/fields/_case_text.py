"""Texts of a case for the finite-volume solver: its dictionaries and fields, in metres and seconds.

Steady flow of constant density, k-omega SST (Menter, AIAA Journal 32, 1994, p. 1598; Menter, Kuntz and Langtry 2003, as
the solver has it), wall functions, second order in space for momentum.
"""

from __future__ import annotations

from platemaker.records import Record

TURBULENCE = 0.05
"""Intensity at the entry: common practice for ducts behind a machine, no source."""
SCALE = 0.07
"""Turbulent length over hydraulic diameter at the entry: 7 %, of fully developed duct flow (common practice)."""
C_MU = 0.09
"""The model's own constant."""

HEAD = "FoamFile {{ version 2.0; format ascii; class {kind}; object {name}; }}\n"


class EntryAir(Record):
    """Air at the entry: mean speed, m/s, kinematic viscosity, m2/s, hydraulic diameter of the entry, mm."""

    speed: float
    viscosity: float
    width: float

    @property
    def energy(self) -> float:
        """Turbulent kinetic energy at the entry, m2/s2."""
        return 1.5 * (TURBULENCE * self.speed) ** 2

    @property
    def frequency(self) -> float:
        """Specific dissipation at the entry, 1/s."""
        return float(self.energy**0.5 / (C_MU**0.25 * SCALE * self.width / 1000))


def dictionaries(air: EntryAir, steps: int, ranks: int, every: int) -> dict[str, str]:
    """Texts of all dictionaries by path within the case."""
    texts = {
        "constant/transportProperties": f"transportModel Newtonian;\nnu {air.viscosity:.6g};\n",
        "constant/turbulenceProperties": "simulationType RAS;\nRAS { RASModel kOmegaSST; turbulence on; }\n",
        "system/controlDict": _CONTROL.format(steps=steps, every=every) + _FUNCTIONS,
        "system/fvSchemes": _SCHEMES,
        "system/fvSolution": _SOLUTION,
        "system/decomposeParDict": _PARTS.format(ranks=ranks),
    }
    return {path: HEAD.format(kind="dictionary", name=path.split("/")[1]) + text for path, text in texts.items()}


# Slices along X: the one way of cutting up a mesh that needs no library, which Debian's package is built without.
_PARTS = """\
numberOfSubdomains {ranks};
method simple;
simpleCoeffs {{ n ({ranks} 1 1); delta 0.001; }}
"""
_CONTROL = """\
application simpleFoam;
startFrom latestTime;
startTime 0;
stopAt endTime;
endTime {steps};
deltaT 1;
writeControl timeStep;
writeInterval {every};
purgeWrite 1;
writeFormat ascii;
writePrecision 8;
timeFormat general;
runTimeModifiable no;
"""
_FUNCTIONS = """\
functions
{
    total { type pressure; libs (fieldFunctionObjects); mode total; rho rhoInf; rhoInf 1; pRef 0; result totalPressure;
        executeControl timeStep; writeControl none; log no; }
    entry { type surfaceFieldValue; libs (fieldFunctionObjects); regionType patch; name inlet;
        operation weightedAverage; weightField phi; fields (totalPressure);
        writeFields no; writeControl timeStep; log no; }
    exit { $entry; name outlet; }
    stop { type abort; libs (utilityFunctionObjects); file "<case>/stop"; action writeNow; }
}
"""
_SCHEMES = """\
ddtSchemes { default steadyState; }
gradSchemes { default Gauss linear; grad(U) cellLimited Gauss linear 1; }
divSchemes
{
    default none;
    div(phi,U) bounded Gauss linearUpwind grad(U);
    div(phi,k) bounded Gauss limitedLinear 1;
    div(phi,omega) bounded Gauss limitedLinear 1;
    div((nuEff*dev2(T(grad(U))))) Gauss linear;
    div(div(phi,U)) Gauss linear;
}
laplacianSchemes { default Gauss linear limited 0.5; }
interpolationSchemes { default linear; }
snGradSchemes { default limited 0.5; }
wallDist { method meshWave; }
"""
_SOLUTION = """\
solvers
{
    p { solver GAMG; smoother GaussSeidel; tolerance 1e-8; relTol 0.05; }
    "(U|k|omega)" { solver smoothSolver; smoother symGaussSeidel; tolerance 1e-9; relTol 0.1; }
}
SIMPLE { nNonOrthogonalCorrectors 0; consistent yes; }
relaxationFactors { fields { p 0.9; } equations { U 0.8; ".*" 0.7; } }
"""


def fields(air: EntryAir) -> dict[str, tuple[str, str, str, str]]:
    """Of each field its class, dimensions, even value, and boundary; the boundary has no mirror."""
    speed, energy, frequency = f"(0 0 {air.speed:.8g})", f"{air.energy:.6g}", f"{air.frequency:.6g}"

    def turbulent(value: str, wall: str) -> str:
        return (
            f"inlet {{ type fixedValue; value uniform {value}; }}\n"
            f"outlet {{ type inletOutlet; inletValue uniform {value}; value uniform {value}; }}\n"
            f"wall {{ type {wall}; value uniform {value}; }}\n"
        )

    return {
        "U": (
            "volVectorField", "[0 1 -1 0 0 0 0]", "(0 0 0)",
            (
                f"inlet {{ type fixedValue; value uniform {speed}; }}\n"
                "outlet { type inletOutlet; inletValue uniform (0 0 0); value uniform (0 0 0); }\n"
                "wall { type noSlip; }\n"
            ),
        ),
        "p": (
            "volScalarField", "[0 2 -2 0 0 0 0]", "0",
            "inlet { type zeroGradient; }\noutlet { type fixedValue; value uniform 0; }\nwall { type zeroGradient; }\n",
        ),
        "k": ("volScalarField", "[0 2 -2 0 0 0 0]", energy, turbulent(energy, "kqRWallFunction")),
        "omega": ("volScalarField", "[0 0 -1 0 0 0 0]", frequency, turbulent(frequency, "omegaWallFunction")),
        "nut": (
            "volScalarField", "[0 2 -1 0 0 0 0]", "0",
            (
                "inlet { type calculated; value uniform 0; }\noutlet { type calculated; value uniform 0; }\n"
                "wall { type nutkWallFunction; value uniform 0; }\n"
            ),
        ),
    }  # fmt: skip
