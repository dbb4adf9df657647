"""The documents that the formulas come from, each once. `short` names the edition.

Read for this work: Shigley (chapters 3, 8 and 17 in part), Machinery's Handbook p. 1421 and the thread-strip formula it
prints from FED-STD-H28, the pipe-thread chart. Clause numbers of the other documents are from memory.
"""

from __future__ import annotations

from platemaker.formulas._registry import Source

ASME_B18_3 = Source("ASME B18.3", "Socket Cap, Shoulder, Set Screws, and Hex Keys (Inch Series)")
ASME_B1_1 = Source("ASME B1.1-2003", "Unified Inch Screw Threads (UN and UNR Thread Form)")
ASME_B18_29 = Source("ASME B18.29.2M", "Helical Coil Screw Thread Inserts; notes as a web copy prints them")
ASME_PCC_1 = Source("ASME PCC-1-2010", "Guidelines for Pressure Boundary Bolted Flange Joint Assembly")
ASME_VIII_1 = Source("ASME BPVC VIII-1 (2019)", "Boiler and Pressure Vessel Code, Section VIII, Division 1")
ASTM_D341 = Source(
    "ASTM D341", "Viscosity-Temperature Equations and Charts for Liquid Petroleum or Hydrocarbon Products"
)
BLEVINS = Source("Blevins 1979", "R. D. Blevins, Formulas for Natural Frequency and Mode Shape")
CHAMBER_MODEL = Source("reduced model of chambers", "Jet fitted to computed passages, mixed out after Borda and Carnot")
COMMON_PRACTICE = Source("common practice, no source", "Fact of the trade that no published source was found for")
ECSS_32_23 = Source("ECSS-E-HB-32-23A (2010)", "Space engineering, Threaded fasteners handbook")
FED_STD_H28 = Source("FED-STD-H28/2B (1991)", "Screw-Thread Standards for Federal Services, Section 2")
GEOMETRY = Source("plane and solid geometry", "Follows from the definition; no source needed")
HETENYI = Source("Hetenyi 1946", "M. Hetenyi, Beams on Elastic Foundation, University of Michigan Press")
HEYWOOD = Source("Heywood 1988", "J. B. Heywood, Internal Combustion Engine Fundamentals")
ISO_2533 = Source("ISO 2533:1975", "Standard Atmosphere")
ISO_4762 = Source("ISO 4762:2004", "Hexagon socket head cap screws")
ISO_898_1 = Source("ISO 898-1:2013", "Mechanical properties of bolts, screws and studs of carbon and alloy steel")
ISO_965_1 = Source("ISO 965-1:2013", "ISO general purpose metric screw threads, tolerances, principles and basic data")
LIBRARY_FLUIDS = Source("library fluids 1.3", "General-purpose fluid dynamics library, methods named by author")
NACA_1135 = Source("NACA Report 1135 (1953)", "Equations, Tables, and Charts for Compressible Flow")
NIST_811 = Source("NIST SP 811 (2008)", "Guide for the Use of the International System of Units")
ROARK_7 = Source("Roark 7th ed.", "W. C. Young, R. G. Budynas, Roark's Formulas for Stress and Strain, 2002")
SHIGLEY_9 = Source("Shigley 9th ed.", "R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering Design, 2011")
STRENGTH_TEXT = Source("thick cylinders after Lame", "Distortion energy over Lame's stresses")
STRINGS = Source("Mersenne's law of strings", "Wave on a string between fixed ends; any text on vibrations")
TEMA_9 = Source("TEMA 9th ed.", "Standards of the Tubular Exchanger Manufacturers Association, 2007")
TIMOSHENKO_PLATES = Source("Timoshenko & Woinowsky-Krieger 2nd ed.", "Theory of Plates and Shells, 1959")
WHITE_7 = Source("White 7th ed.", "F. M. White, Fluid Mechanics, 2011")
