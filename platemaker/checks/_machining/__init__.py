"""What a shop's tools can make, and sizes that are hardly meant."""
