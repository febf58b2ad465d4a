"""What can hurt someone at welding and finishing, said where it is met: common practice; local rules come first."""

from __future__ import annotations

__all__ = [
    "AT_THE_ARC",
    "AT_THE_BATH",
    "AT_THE_DUST",
    "AT_THE_GRINDER",
    "AT_THE_OVEN",
    "AT_THE_PICKLE",
    "AT_THE_SOLVENT",
    "AT_THE_STAINLESS",
    "AT_THE_TWO_PACK",
    "AT_THE_ZINC",
    "AT_THE_ZINC_BATH",
    "BEFORE_THE_ARC",
    "WHO_DECIDES",
]

BEFORE_THE_ARC = (
    "No cleaner with chlorine in it anywhere near: with the arc it makes a poisonous gas. Let acetone dry wholly, and "
    "take can and rags away.",
    "Nothing that burns within <10 m|35 ft>, or cover it; an extinguisher at hand. Look for embers again half an hour "
    "after the last weld.",
    "Gas bottles stand upright and chained, and are shut after work. Shielding gas in a small room takes the air to "
    "breathe.",
)

AT_THE_ARC = (
    "The arc burns eyes and skin in seconds, those of onlookers too: helmet with the right shade, all skin covered, "
    "screens round the place. On aluminium it is brighter still.",
    "Fume and ozone are not for lungs: draw them off at the arc, or weld in moving fresh air, head beside the plume.",
    "Hot metal looks like cold metal: mark it HOT. Aluminium gives no glow before it melts.",
)

AT_THE_ZINC = (
    "Zinc fume makes fever and chills some hours later. Take the zinc off first, weld in the open or with extraction, "
    "and wear a mask for metal fume.",
)

AT_THE_STAINLESS = (
    "Fume of stainless, and dust where its welds are ground, hold chromium(VI) and nickel, which cause cancer: "
    "extraction at the arc and a mask for metal fume, outdoors too.",
)

WHO_DECIDES = (
    "What carries people, goes on the road or holds a load over someone is welded by somebody qualified for it: local "
    "codes and licensed practice decide.",
)

AT_THE_DUST = (
    "Dust of aluminium burns and can explode, and with rust it burns white hot: collect it wet or sweep it up often, "
    "never grind steel and aluminium into one bag, no sparks near it. Mask and goggles on.",
)

AT_THE_GRINDER = (
    "Sparks fly far and light what burns, dust of mill scale, paint and zinc is not for lungs: goggles and mask on, "
    "nothing that burns in their way, hands off a running disc.",
)

AT_THE_SOLVENT = (
    "Solvents catch fire by their vapour: no flame or spark, fresh air, gloves. Lay wet rags out flat in the open: in "
    "a heap they light by themselves.",
)

AT_THE_TWO_PACK = (
    "Paint with an isocyanate hardener harms lungs for good, and a filter mask does not hold it back: spray it only "
    "with air-fed breathing protection, in a booth, with skin covered, or leave it to a paint shop. Brushing needs a "
    "mask for its vapour and gloves too.",
)

AT_THE_OVEN = (
    "A closed tube bursts in an oven: every one has its vent first. Springs, grease, plugs and locknuts with nylon "
    "come out before. Not in an oven for food.",
)

AT_THE_PICKLE = (
    "Pickling paste holds hydrofluoric acid: it goes through the skin without pain and kills. It is for a shop with "
    "gloves and face shields for it, calcium gluconate gel at hand and somebody trained beside it.",
)

AT_THE_ZINC_BATH = (
    "A tube that is shut, or has too small a hole, bursts in molten zinc and throws it over those at the bath: every "
    "one has its holes first, and the galvaniser is shown each of them.",
)

AT_THE_BATH = (
    "Acid and lye baths blind and burn: goggles, face shield, gloves, apron; acid into water, never the other way. "
    "This is work for a shop that does it every day.",
)
