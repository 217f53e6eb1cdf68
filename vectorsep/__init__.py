"""Registered, dye-safe screen-printing plates from flat spot-colour SVG art."""
