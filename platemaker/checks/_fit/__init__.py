"""Whether patterns meet: fit-up, best fit, adjustment, squareness, bracket holes."""
