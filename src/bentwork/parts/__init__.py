"""What goes round the bending: crossbars, copes, tabs, stays, brackets, the saw and what to buy, welding, finish."""
