"""First drawings: rough figures from a few readings, from which an adjustment starts."""
