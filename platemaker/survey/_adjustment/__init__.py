"""The equations of a network, their adjustment by least squares, and what they leave free."""
