"""The air's way: sections, chambers, losses, throats."""
