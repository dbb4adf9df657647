"""The belt drive: grip, wrap and ratio; length and alignment; the idler's bracket; room round the belt."""
