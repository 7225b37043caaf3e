"""Spanish as written in Mexico and the United States: a decimal point, as on the scales and tapes of these barns."""

DECIMAL_SEPARATOR = "."
THOUSAND_SEPARATOR = ","
NUMBER_GROUPING = 3
