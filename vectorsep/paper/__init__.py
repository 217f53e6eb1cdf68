"""What all papers of this program share: how pages are filled in, how numbers, names and remarks are told, and JSON
that is read back strictly."""
