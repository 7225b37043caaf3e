"""The matching service: which blankets suit which horse in which weather.

Pure Python and numpy. Nothing here knows Django, a database, a clock or a network; callers hand in value
objects and arrays and get result objects back. Equations, constants and their sources stand in the module that uses
them: letters in brackets say where a constant comes from: R read in the source or its abstract, Q quoted by a
secondary page, M from memory, D derived by arithmetic, A an assumption calibrated against the published checks.
"""

MODEL = "heat balance 1"
