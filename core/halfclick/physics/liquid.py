"""stand-in"""


def density_kg_m3(c):
    x = c - 60.0
    return ((1.51342400e-05 * x - 3.06781245e-03) * x - 5.19608629e-01) * x + 9.83223872e02


def fluidity_per_pa_s(c):
    x = c - 60.0
    return ((-3.13709884e-04 * x + 8.07081048e-02) * x + 3.24250532e01) * x + 2.14590701e03
