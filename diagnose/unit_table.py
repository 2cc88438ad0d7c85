"""The closed list of units: each one's dimension, its size in that dimension's base unit, its spellings.

Import of a units library costs a quarter of a second, more than a whole diagnosis, so the few units of
the trade stand here as a table; the tests hold it against such a library. Spellings are written without
blanks, with `u` for micro and plain digits for powers, as `units.canonical` prepares what people type.
Sources: the SI Brochure (BIPM, 9th ed.) for SI units; NIST SP 811 appendix B for inch-pound factors;
`from memory` for water hardness and the trade's own scales.
"""

from __future__ import annotations

Row = tuple[float, str]

INCH = 0.0254
FOOT = 12 * INCH
POUND = 0.45359237
GALLON = 231 * INCH**3
FORCE = 9.80665  # standard gravity, m/s2: weight of one kilogram in newtons
DAY = 86400.0

UNITS: dict[str, dict[str, Row]] = {
    "time": {
        "s": (1, "sec secs second seconds"),
        "min": (60, "mins minute minutes"),
        "h": (3600, "hr hrs hour hours"),
        "day": (DAY, "d days"),
        "week": (7 * DAY, "wk weeks"),
        "month": (365.25 / 12 * DAY, "mo months"),
        "year": (365.25 * DAY, "yr years"),
    },
    "kinematic viscosity": {
        "mm2/s": (1e-6, "cSt centistoke centistokes mm2s-1 mm2/sec"),
        "m2/s": (1, ""),
        "St": (1e-4, "stoke stokes"),
    },
    "dynamic viscosity": {
        "mPa.s": (1e-3, "cP cps cPs centipoise mPas mPa-s mPa*s"),
        "Pa.s": (1, "Pas Pa-s"),
        "P": (0.1, "poise"),
    },
    "pH": {"pH": (1, "pHunits")},
    "temperature": {
        "degC": (1, "C deg.C celsius centigrade degreesC"),
        "degF": (5 / 9, "F fahrenheit degreesF"),
        "K": (1, "kelvin"),
    },
    "ratio": {
        "1": (1, "oftarget timestarget x ratio fraction D -"),
        "%": (
            0.01,
            "percent pct %w/w wt% wt.% %wt mass% %bymass %byweight %ofink %onink %RH %r.h. vol% perc",
        ),
        "g/kg": (1e-3, "permille"),
        "ppm": (1e-6, "mg/kg"),
    },
    "density": {
        "g/cm3": (1000, "g/cc g/mL kg/L kg/dm3 gcm-3"),
        "kg/m3": (1, "g/L"),
        "mg/L": (1e-3, "g/m3"),
        "mg/m3": (1e-6, "mg/Nm3"),
        "lb/gal": (POUND / GALLON, "lbs/gal ppg lb/USgal"),
    },
    "force per length": {
        "mN/m": (1e-3, "dyn/cm dyne/cm dynes/cm dyne dynes dyn mJ/m2 erg/cm2"),
        "N/15mm": (1 / 0.015, "N/15.0mm N/(15mm)"),
        "N/25mm": (1 / 0.025, ""),
        "N/in": (1 / INCH, "N/inch N/1in"),
        "gf/15mm": (1e-3 * FORCE / 0.015, "g/15mm"),
        "gf/25mm": (1e-3 * FORCE / 0.025, "g/25mm"),
        "gf/in": (1e-3 * FORCE / INCH, "g/in g/inch"),
        "lbf/in": (POUND * FORCE / INCH, "lb/in lb/inch lbs/in pli"),
        "N/m": (1, "Nm-1"),
        "N/cm": (100, ""),
        "N/mm": (1000, ""),
        "kN/m": (1000, "daN/cm"),
        "kg/cm": (100 * FORCE, "kgf/cm kp/cm"),
    },
    "force": {
        "N": (1, "newton newtons"),
        "daN": (10, ""),
        "kN": (1000, ""),
        "kgf": (FORCE, "kp"),
        "lbf": (POUND * FORCE, ""),
    },
    "mass": {
        "g": (1e-3, "gram grams gr"),
        "kg": (1, "kilo kilos kilogram kilograms"),
        "mg": (1e-6, ""),
        "t": (1000, "tonne tonnes"),
        "lb": (POUND, "lbs pound pounds"),
        "oz": (POUND / 16, "ounce ounces"),
    },
    "volume": {
        "L": (1e-3, "litre litres liter liters ltr"),
        "mL": (1e-6, "cm3 cc"),
        "m3": (1, ""),
        "gal": (GALLON, "gallon gallons USgal"),
    },
    "length": {
        "m": (1, "metre metres meter meters"),
        "cm": (0.01, ""),
        "mm": (1e-3, "millimetre millimetres millimeter millimeters"),
        "um": (1e-6, "micron microns micrometre micrometres micrometer micrometers mu mic"),
        "nm": (1e-9, ""),
        "in": (INCH, 'inch inches "'),
        "ft": (FOOT, "foot feet"),
        "thou": (INCH / 1000, "mil mils"),
    },
    "volume per area": {
        "cm3/m2": (1e-6, "mL/m2 cc/m2 ccm/m2 cm3perm2"),
        "BCM/in2": (1e9 * 1e-18 / INCH**2, "BCM bcm/sqin BCM/sq.in billioncubicmicrons"),
    },
    "mass per area": {"g/m2": (1e-3, "gsm gm2 gm-2 g/sqm"), "mg/m2": (1e-6, ""), "kg/m2": (1, "")},
    "mass flow": {
        "kg/h": (1 / 3600, "kg/hr kgph"),
        "kg/min": (1 / 60, ""),
        "g/min": (1e-3 / 60, ""),
        "lb/h": (POUND / 3600, "lb/hr lbs/h lbs/hr"),
    },
    "volume flow": {
        "m3/h": (1 / 3600, "m3/hr cbm/h"),
        "m3/min": (1 / 60, ""),
        "m3/s": (1, ""),
        "L/min": (1e-3 / 60, "lpm litres/min liters/min L/minute"),
        "L/h": (1e-3 / 3600, ""),
        "mL/min": (1e-6 / 60, "mL/minute cc/min"),
        "ft3/min": (FOOT**3 / 60, "cfm"),
        "gal/min": (GALLON / 60, "gpm"),
    },
    "speed": {
        "m/min": (1 / 60, "mpm m/minute metres/min meters/min metresperminute mmin-1"),
        "m/s": (1, "m/sec ms-1"),
        "ft/min": (FOOT / 60, "fpm feet/min feet/minute ft/minute"),
        "ft/s": (FOOT, "fps"),
    },
    "power": {"W": (1, "watt watts"), "kW": (1000, "")},
    "energy per area": {
        "W.min/m2": (60, "Wmin/m2 W*min/m2 W-min/m2 wattminperm2 Wmin.m-2"),
        "W.min/ft2": (60 / FOOT**2, "Wmin/ft2 W/ft2/min"),
        "J/m2": (1, ""),
        "kJ/m2": (1000, ""),
    },
    "energy per amount": {"kJ/mol": (1000, ""), "J/mol": (1, "")},
    "molar mass": {"g/mol": (1e-3, "g/mole"), "kg/mol": (1, "")},
    "area per mass": {"m2/kg": (1, "sqm/kg"), "ft2/lb": (FOOT**2 / POUND, "sqft/lb")},
    "heat transfer": {"W/m2K": (1, "W/(m2K) W/m2/K W/m2.K Wm-2K-1")},
    "pressure": {
        "Pa": (1, ""),
        "kPa": (1000, ""),
        "MPa": (1e6, "N/mm2"),
        "bar": (1e5, "bars"),
        "mbar": (100, "hPa"),
        "psi": (POUND * FORCE / INCH**2, "lb/in2 lbs/in2"),
        "kgf/cm2": (FORCE * 1e4, "kg/cm2 kp/cm2"),
        "N/cm2": (1e4, ""),
    },
    "angle": {"deg": (1, "degree degrees")},
    "Shore A hardness": {"ShoreA": (1, "Shore-A ShA degShoreA ShoreAhardness Sh durometer durometerA duro")},
    "Shore D hardness": {"ShoreD": (1, "Shore-D ShD degShoreD")},
    "Vickers hardness": {"HV": (1, "Vickers HV0.1 HV0.05 VPN")},
    "screen": {
        "L/cm": (100, "lines/cm line/cm linespercm lpcm lcm cm-1 cells/cm"),
        "lpi": (1 / INCH, "lines/in lines/inch linesperinch linesperin L/in cpi"),
    },
    "cycles": {"cycles": (1, "cycle strokes stroke rubs rub doublerubs times passes")},
    "current": {"mA": (1e-3, "milliamp milliamps"), "A": (1, "amp amps"), "uA": (1e-6, "")},
    "voltage": {"kV": (1000, "kilovolt kilovolts"), "V": (1, "volt volts")},
    "colour difference": {"dE": (1, "deltaE dE00 dE2000 dEab dE76 DeltaE2000 dE*ab units")},
    "gloss": {"GU": (1, "glossunits glossunit gu")},
    "microbes": {"CFU/mL": (1, "cfu/ml CFU/g cfu germs/ml germs/g CFUmL-1 kbe/ml perml /ml")},
    "water hardness": {
        "degdH": (1, "dH odH degreesdH degreesGerman"),
        "degfH": (0.5603, "fH"),
        "mg/L_CaCO3": (0.05603, "mg/LCaCO3 mg/LasCaCO3 ppmCaCO3 ppmasCaCO3"),
    },
    "conductivity": {"mS/cm": (1, ""), "uS/cm": (1e-3, "")},
    "humidity ratio": {
        "g/kg_air": (1, "gwaterperkgair gwater/kgair g/kgair g/kgdryair g/kgda gr/kgair"),
        "kg/kg_air": (1000, "kg/kgair kg/kgdryair"),
    },
    "count per area": {
        "per_10cm2": (1e3, "per10cm2 /10cm2"),
        "per_m2": (1, "/m2 perm2 persqm m-2 1/m2 pcs/m2 count/m2 n/m2"),
        "per_cm2": (1e4, "/cm2 percm2 1/cm2"),
        "per_ft2": (1 / FOOT**2, "/ft2 perft2 persqft"),
    },
    "count per length": {"per_cm": (100, "/cm percm cracks/cm"), "per_m": (1, "/m")},
    "count per volume": {"per_L": (1, "/L /l perlitre perliter perl particles/l 1/l count/l")},
    "slope": {"mm/m": (1, "")},
    "mesh": {"mesh": (1, "meshes wires/in")},
    "electric field": {"kV/m": (1, ""), "kV/cm": (100, ""), "kV/in": (1 / INCH, "")},
    "class": {"class": (1, "ISOclass gt grade"), "class_B": (-1, "B")},
    "frequency": {"per_min": (1 / 60, "/min 1/min rpm strokes/min cycles/min r/min"), "Hz": (1, "/s 1/s")},
}

OFFSETS: dict[str, float] = {"degF": -160 / 9, "K": -273.15, "class_B": 5.0}
"""Added after scaling: degC = 5/9 degF - 160/9; class 0..5 (ISO 2409) = 5 - the B number (ASTM D3359)."""
