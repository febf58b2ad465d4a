"""Which bars are in this model? Reading bent bars out of STEP files and lists of corner points."""
