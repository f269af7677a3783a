"""What to do with the piece after the pour: suggestions, each with who says so."""

PRACTICE = "common practice, no source"
AGE = "common practice; other temperatures by equivalent age, Freiesleben Hansen and Pedersen 1977 and ASTM C1074, "
AGE += "both from memory"
LABEL = "common practice, no source; the polymer's label takes precedence"

COVER = "Cover with polythene at once. No fans, no forced hot air on fresh work."
MOIST = "Keep it covered and moist for about 7 days, until {until}."
POLYMER = "Leave it covered overnight, then in air, above {film}. Do not wet it again for a day or two, until {until}."
STRIP = "Take it out of the mould after about 24 h at 20 °C, from {at}; longer when it is colder."
STRIP_AT = (
    "Take it out of the mould after about {hours} at {shop} (24 h at 20 °C), from {at}; longer if colder."
)
FIRM = "Let the face firm up for at least 1 h after that; then sand wet by hand, 400 grit, lightly, fibres covered."
DRY = "Rest it on sticks, so that both faces dry alike and it does not curl."
SEAL = "Seal it dry and sanded, thin, nothing left pooled: not before {least}, better {better}."
COLOUR = "Judge its colour after two to four weeks, from {two_weeks} to {four_weeks}."
