"""A number typed far off what is asked for: what was probably meant, and where the batch would end."""

ENDS = "The water would end at {ratio}."
MEANT = "{amount} was meant"
AGAIN = "{amount} all the same: type it once more"
ALL_THE_SAME = "{amount} all the same"
ANEW = "none of these: type it anew"
TYPE_AGAIN = "Type it once more if {amount} it is."
