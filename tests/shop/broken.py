"""What always holds, by number, and what to raise where it does not."""

RULES = {
    "I1": "The masses add up from the entries that count.",
    "I2": "No material and no way out goes below nothing.",
    "I3": "What is asked for is more than nothing, and right by its own limits.",
    "I4": "Doing exactly as told, and taking a way out that gives nothing up, ends inside every band.",
    "I5": "No more is asked for than the bucket has room for, or it is said.",
    "I6": "No more is asked for than there is, or it is said.",
    "I7": "What is asked for is whole divisions of the scale.",
    "I8": "A way out that does not fit bucket, shelf or band is not offered as open.",
    "I9": "The guidance comes to an end.",
    "I10": "A finished batch has every dose in its band, or says why not.",
    "I11": "A finished batch has its water ratio in the band, or says why not.",
    "I12": "Water does not pass the ceiling without a question.",
    "I13": "Flags that stand at the end were conceded, with a reason.",
    "I14": "No acknowledged entry is lost or changed.",
    "I15": "A kill leaves at most one decision nobody was told of, and that one whole.",
    "I16": "Stored entries give the same batch again, field by field.",
    "I17": "That needs no clock and no chance.",
    "I18": "An entry handed over twice is stored once.",
    "I19": "The sequence has no gap and its chain is valid.",
    "I20": "What is not stored is held, and said to be.",
    "I21": "A reading that is old, unsteady or without a weight is not booked by itself.",
    "I22": "A reading books once, after its start reading, and only for the question that was shown.",
    "I23": "What is booked is what went in, within the error of the scale.",
    "I24": "Entries come in an order that can be.",
    "I25": "Times run forward, as long as they took.",
    "I26": "Setting the clock changes no advice.",
    "I27": "A second program on the same records writes nothing.",
    "I28": "A typed weight never passes for one from the scale.",
    "I29": "Every flag that was shown is in the record.",
    "I31": "Taking back leaves the state of before, and one entry more.",
    "I32": "What is shown is what is booked.",
    "I33": "Nothing shown holds a control character.",
    "I34": "No error gets out, and nothing grows without end.",
    "I35": "What takes itself went in: no vessel, key or drift is a dose.",
    "I37": "A batch taken up again shows and asks for what it did when it was left, with no option said.",
    "I38": "A second bucket aims at what the first got, inside the band, and says so.",
    "I39": "Ten times what was asked for is not booked by a number typed once.",
    "I40": "No more is asked for than the rest, whatever becomes of the scale in between.",
    "I36": "What is booked from the scale went in, or the record says that it may not have.",
}
"""Stock after a batch, I30, is held to in tests/record, where the stock is."""


class BrokenRuleError(AssertionError):
    """Which one, and what was seen."""

    def __init__(self, rule: str, what: str) -> None:
        super().__init__(f"{rule} ({RULES[rule]}) {what}")
        self.rule = rule


def hold(rule: str, condition: object, what: object = "") -> None:
    """Break off unless a condition holds."""
    if not condition:
        raise BrokenRuleError(rule, str(what))
