"""What stands in the stack: clearance, height, room for tools, order of assembly."""
