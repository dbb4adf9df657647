"""Length of thread on hexagon socket head cap screws: ISO 4762 and ASME B18.3."""

from __future__ import annotations

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import ASME_B18_3, ISO_4762


@formula(
    ISO_4762,
    "Table 1",
    law="b = 2 d + 12, not more than L",
    gives="mm",
    d=above(0, "mm", 64),
    L=above(0, "mm"),
)
def thread_length_socket_metric(d: float, L: float) -> float:
    """Threaded length of a metric hexagon socket head cap screw; a shorter screw is threaded to its head.

    Source: ISO 4762:2004, Table 1.
    d: nominal diameter.
    L: length under the head.
    >>> thread_length_socket_metric(8.0, 60.0), thread_length_socket_metric(8.0, 25.0)
    (28.0, 25.0)
    """
    return min(L, 2 * d + 12)


@formula(
    ASME_B18_3,
    "L_T, from memory",
    law="L_T = 2 d + 1/2 in, not more than L",
    gives="mm",
    d=above(0, "mm", 76.2),
    L=above(0, "mm"),
)
def thread_length_socket_inch(d: float, L: float) -> float:
    """Threaded length of an inch hexagon socket head cap screw; a shorter screw is threaded to its head.

    The standard tables L_T rounded to 1/8 in below #10: up to 0.05 in from this rule.

    Source: ASME B18.3, L_T, from memory.
    d: nominal diameter.
    L: length under the head.
    >>> thread_length_socket_inch(9.525, 76.2) / 25.4  # 3/8: 1 1/4 in
    1.25
    """
    return min(L, 2 * d + 12.7)
