"""What loads a joint: boost, pressure over its sealed area, external loads, heat."""
