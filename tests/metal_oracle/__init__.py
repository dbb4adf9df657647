"""An independent oracle for metal left: the voids of a part from its spec's numbers, their distances from the kernel.

Nothing here comes from the package's rooms `plane`, `space`, `parts` or `solids`: `_reading` turns a spec, as plain YAML
values, into blanks and steps of cuts; `_sizes` holds the few standard sizes by hand; `_kernel` makes solids of them with
the solid kernel's own primitives and measures between them; `_ledger` says which walls a part has. `_answers` alone calls
the package, for its findings, and lists where they differ from the oracle's table (feature, feature) -> value.

Rules that the oracle follows
-----------------------------
1.  Every step of every cut is a void: drill, counterbore or seat or spotface, thread at its major diameter over its depth,
    drill point (cone of 118 degrees), pocket, relief, slot, groove, opening, its mouth in its exact shape.
2.  A void is cut to the blank, faces and outline. A slanted step is drawn out past its entry, as its tool comes from
    there, and past its exit where the hole goes through; a depth whose end (without the drill point) lies outside the
    blank means through, and then there is no drill point.
3.  A wall is the least distance between two voids of different cuts, over all their steps; the pair's value is the least
    of them. Between one cut and the blank there are three walls: to the face above, the face below, and to all that is
    beside it (edges of the outline, ends and round outside of bar), the least of the faces that the step does not open.
4.  A step opens the face by which its hole's axis enters the blank (all steps of the hole do), and the one by which it
    leaves if the hole goes through and the step is its last. A step that ends before keeps its wall to the exit face: the
    shoulder under a head. Milled figures open the face they are cut from; openings both; a mouth only its own, so that
    the straight rest of the opening behind the mouth is measured as a wall to the far face.
5.  Threads have no wall to faces that their own hole opens, at entry or exit.
6.  A drill point opens nothing: where it pierces the far face it breaks through.
7.  A curved face that a hole opens (round bar, the round edge of a plate): the section of the hole at the middle of its
    axis' run inside the blank, from where the axis enters to where it leaves or to the end of its last cylinder (drill
    point not counted), at the widest step there; its point farthest out, radially to the face. Besides, a step that ends
    inside keeps its wall to the half of that face that lies ahead of the face's own axis, once it is past that axis.
8.  Meant to meet, and no wall at all: pairs of which one names the other in `into`; steps of one hole; an opening and a
    pocket that overlap; a rail's passage with its cross bores and end threads.
9.  Every other overlap is a fail, and so is touching: nearer than 1e-7 mm is 0, and only its sign and pair are compared.
10. A square hole that goes, whole, through the floor of a blind figure (a through hole that leaves inside the pocket, a
    hole drilled from inside it, deeper than its floor) may be taken as meant or as an overlap: both answers are accepted.
    What is between its other steps and the figure (the shoulder over the pocket) has to be right either way.
11. A cut of which nothing lies in the blank counts as an overlap with what is beside it.
12. Brackets are measured in their flat, all legs in one plane, across bends too; the ends of legs at bends are no edges.
    A cut that does not lie in the flat of its leg is left to the check that refuses it, and not generated.
13. Walls to faces are to those of the blank, whatever else is cut out of them: cross bores of rails, which end flat at
    mid-height, have a wall to the far side although the passage lies between, a pocket has one through a relief under it.
14. Limits are those of wall and floor; where the two differ, a value between them may pass or fail.
15. Every pair up to 3 times the lesser limit has to be listed; thicker ones may be, and then their value must be right.
16. Left out, as no closed rule exists or it is another test's: figures opened out as large as possible, planed (tapered)
    faces, necks of one outline, ribs within one figure, bores through the rounded corners of an outline and within reach
    of the line where a straight edge runs smoothly into an arc, slanted bores in outlines with reentrant corners.
"""

from tests.metal_oracle._answers import Answer, Count, Difference, answer_of, differences
from tests.metal_oracle._by_hand import CASES, Case
from tests.metal_oracle._generate import spec_of
from tests.metal_oracle._hard import hard_parts
from tests.metal_oracle._ledger import Ledger, Row
from tests.metal_oracle._odd import odd_spec
from tests.metal_oracle._reading import parts_of
from tests.metal_oracle._shrink import shrunk, text_of

__all__ = [
    "CASES", "Answer", "Case", "Count", "Difference", "Ledger", "Row", "answer_of", "differences", "hard_parts", "odd_spec",
    "parts_of", "shrunk", "spec_of", "text_of",
]  # fmt: skip
