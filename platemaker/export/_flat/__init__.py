"""Cut files: DXF of a part, and parts nested on sheets."""
