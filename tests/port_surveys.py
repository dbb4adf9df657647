"""Readings on a casting with four bolt holes and several ports, for the tests of surveyed ports."""

READINGS = """
features:
  A: {hole: 8}
  B: {hole: 8}
  C: {hole: 8}
  D: {hole: 8}
  P: {boss: 12, sd: 0.04}
  Q: {hole: 30, sd: 0.04}
  S: {stud: 8}
  R: hole
  left: port edge
  right: port edge
  near: port edge
  far: port edge
  rim: edge
datum: {origin: A, x_towards: B, left: [D]}
readings:
  - {centres: [A, B], reads: 120, sd: 0.05}
  - {centres: [B, C], reads: 90, sd: 0.05}
  - {centres: [C, D], reads: 120, sd: 0.05}
  - {centres: [A, D], reads: 90, sd: 0.05}
  - {centres: [A, C], reads: 150, sd: 0.05}
  - {centres: [B, D], reads: 150, sd: 0.05}
  - {centre_to_edge: [A, left], reads: 35, sd: 0.1}
  - {centre_to_edge: [D, left], reads: 35, sd: 0.1}
  - {centre_to_edge: [B, right], reads: 35, sd: 0.1}
  - {centre_to_edge: [C, right], reads: 35, sd: 0.1}
  - {centre_to_edge: [A, near], reads: 30, sd: 0.1}
  - {centre_to_edge: [B, near], reads: 30, sd: 0.1}
  - {centre_to_edge: [C, far], reads: 30, sd: 0.1}
  - {centre_to_edge: [D, far], reads: 30, sd: 0.1}
  - {centre_to_edge: [C, near], reads: 60, sd: 0.1}
  - {centre_to_edge: [A, right], reads: 85, sd: 0.1}
  - {centre_to_edge: [C, left], reads: 85, sd: 0.1}
  - {centre_to_edge: [A, far], reads: 60, sd: 0.1}
  - {centre_to_edge: [C, rim], reads: 105, sd: 0.1}
  - {centre_to_edge: [A, rim], reads: 15, sd: 0.1}
  - {centre_to_edge: [B, rim], reads: 15, sd: 0.1}
  - {centres: [A, P], reads: 75, sd: 0.1}
  - {centres: [B, P], reads: 75, sd: 0.1}
  - {centres: [C, P], reads: 75, sd: 0.1}
  - {inside: [A, Q], reads: 56, sd: 0.1}
  - {inside: [B, Q], reads: 56, sd: 0.1}
  - {centres: [C, Q], reads: 75, sd: 0.1}
  - {centres: [A, S], reads: 75, sd: 0.1}
  - {centres: [B, S], reads: 75, sd: 0.1}
  - {centres: [C, S], reads: 75, sd: 0.1}
  - {centres: [A, R], reads: 75, sd: 0.1}
  - {centres: [B, R], reads: 75, sd: 0.1}
  - {centres: [C, R], reads: 75, sd: 0.1}
"""
