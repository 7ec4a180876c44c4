"""The usual cautions shown beside readings, each with its source and mark. They defer to the maker's manual,
local codes and licensed practice, and never call anything free of danger.

Sources: asbestos, OSHA interpretation of 1995-12-11 and appendix F; isocyanates, HSE motor-vehicle-repair pages;
ozone and carbon dioxide, copies of the OSHA and NIOSH pocket-guide pages; wheel nuts, a tyre maker's page;
baking, a car maker's manual; brake fluid, FMVSS 116 summaries. All as collected in 2026-11.
"""

from __future__ import annotations

from typing import Final

from buildbook.marking import N_

# Whole texts, the sentence on brakes in each: a translator sees what stands together.
BRAKES: Final = N_(
    "Brakes: follow the maker's manual and local law; work by licensed practice. A reading alone does not "
    "release a car for the road. [PRAC]"
)
LININGS: Final = N_(
    "Old linings may hold asbestos: no dry brushing, no open air line; OSHA limit 0.1 f/cc over 8 h, "
    "1.0 f/cc over 30 min [PUB-A]. "
    "Brakes: follow the maker's manual and local law; work by licensed practice. A reading alone does not "
    "release a car for the road. [PRAC]"
)
FLUID: Final = N_(
    "Glycol fluid strips paint and irritates; silicone and glycol fluids must not be mixed [PUB-C]. "
    "Brakes: follow the maker's manual and local law; work by licensed practice. A reading alone does not "
    "release a car for the road. [PRAC]"
)
TYRES: Final = N_("Local law decides; a worn, cut or over-age tyre is a matter for a tyre specialist. [PRAC]")
TORQUE: Final = N_(
    "The maker's figure always wins. Torque is not clamping force. Recheck wheel nuts after 50 km [PUB-B]."
)
BATTERY: Final = N_("Batteries give off explosive gas and hold acid: eye protection, no sparks. [PRAC]")
ENGINE: Final = N_("Disable ignition and fuel as the maker's manual says; keep clear of moving parts. [PRAC]")
PAINT: Final = N_(
    "Two-pack paints hold isocyanates: air-fed mask, visor down, until the booth's known clearance time has "
    "passed (HSE) [PUB-A]."
)
BAKE: Final = N_(
    "Heat lamps and ovens: burns, eyes, solvent fire; watch the metal's own temperature [PRAC]. Take out "
    "airbag and belt-tensioner parts before baking as the maker's manual says (one manual: above 93 °C) "
    "[PUB-B]."
)
OZONE: Final = N_(
    "Nobody inside while ozone is made; air out and measure before entering. OSHA 0.1 ppm over 8 h, NIOSH "
    "ceiling 0.1 ppm, IDLH 5 ppm [PUB-A, copy]."
)
CARBON_DIOXIDE: Final = N_(
    "Dry ice fills a room with carbon dioxide and freezes skin: ventilate and measure. OSHA and NIOSH "
    "5,000 ppm over 8 h, NIOSH 30,000 ppm short term, IDLH 40,000 ppm [PUB-A, copy]."
)
