"""Define the exact numbers behind every unit, each with its source.

All are exact by definition (NIST SP 811, appendix B; from memory), kept as fractions so that nothing is
rounded before it is printed.
"""

from fractions import Fraction

FOOT = Fraction("0.3048")  # m; international foot, NIST SP 811 app. B.8 (from memory)
INCH = FOOT / 12  # m
MILE = 5280 * FOOT  # m; international mile
POUND = Fraction("0.45359237")  # kg; avoirdupois pound, NIST SP 811 app. B.8 (from memory)
OUNCE = POUND / 16  # kg
STANDARD_GRAVITY = Fraction("9.80665")  # m/s2; CGPM 1901 (from memory)
POUND_FORCE = POUND * STANDARD_GRAVITY  # N
FOOT_POUND = FOOT * POUND_FORCE  # N m, J
HORSEPOWER = 550 * FOOT_POUND  # W; mechanical horsepower, 550 ft lbf/s
METRIC_HORSEPOWER = 75 * STANDARD_GRAVITY  # W; 75 kgf m/s, the German PS and Spanish CV
MINUTE = Fraction(60)  # s
HOUR = 60 * MINUTE  # s
