"""How near does the bar come to the bender and to what stands round it, while it is bent?"""
