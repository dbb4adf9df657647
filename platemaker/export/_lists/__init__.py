"""Tables: holes and bolts."""
