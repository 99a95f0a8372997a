"""The units that circuits are written in, in pint's notation: a short list, so that a registry of them opens at once.

Exact where the definition is (the inch, the pound, the US and the imperial gallon: NIST SP 811); columns of mercury and
water are the conventional ones. A test holds every factor against pint's own full list.
"""

LINES = """
milli- = 1e-3
micro- = 1e-6
centi- = 1e-2
hecto- = 1e2
kilo- = 1e3
mega- = 1e6
meter = [length]
second = [time]
gram = [mass]
kelvin = [temperature]; offset: 0
radian = []
pi = 3.1415926535897932384626433832795028841971693993751
percent = 0.01
revolution = 2 * pi * radian
degree = pi / 180 * radian
minute = 60 * second
hour = 60 * minute
day = 24 * hour
hertz = 1 / second
inch = 0.0254 * meter
foot = 12 * inch
mile = 5280 * foot
nautical_mile = 1852 * meter
knot = nautical_mile / hour
liter = 0.001 * meter ** 3
gallon = 231 * inch ** 3
imperial_gallon = 4.54609 * liter
pound = 0.45359237 * kilogram
newton = kilogram * meter / second ** 2
pascal = newton / meter ** 2
bar = 1e5 * pascal
g_0 = 9.80665 * meter / second ** 2
force_pound = g_0 * pound
psi = force_pound / inch ** 2
mmHg = 133.322387415 * pascal
inHg = 25.4 * mmHg
mmH2O = 9.80665 * pascal
cmH2O = 10 * mmH2O
inH2O = 25.4 * mmH2O
ftH2O = 12 * inH2O
joule = newton * meter
watt = joule / second
horsepower = 550 * foot * force_pound / second
Btu_it = 1055.05585262 * joule
degC = kelvin; offset: 273.15
degF = 5 / 9 * kelvin; offset: 255.37222222222222222222222222222
""".strip().splitlines()
