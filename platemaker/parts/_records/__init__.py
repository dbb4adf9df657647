"""Records: cuts, stock, parts, joints, and the stack that places them."""
