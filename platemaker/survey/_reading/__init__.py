"""From a file of readings to a network: its models, features, readings, pictures and instruments."""
