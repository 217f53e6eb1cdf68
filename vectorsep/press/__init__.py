"""The press: mesh, ink volume, garment, print order. Facts and arithmetic of the trade, no geometry."""
