"""The folder swapped in whole, and the store of what was made before."""
