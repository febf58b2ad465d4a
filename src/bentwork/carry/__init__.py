"""Will it hold? The frame as a structure: joints, fixings, load; what it carries and what gives first."""
