"""Words of the planning talk: its questions, what Enter takes, its result, and what leads to the bucket."""

from collections.abc import Mapping

TITLE = "Plan a job"
PLACE = "question {number} of {count}"
PLACE_RESULT = "the plan"
TAKE = "take {words}"
SHAPE_ASK = "What is cast? Type its number."
OTHER_ASK = "By what is it planned? Type its number."
KIND_ASK = "What else is cast? Type its number."

SHAPES: Mapping[str, str] = {
    "slab": "slab: a flat rectangle",
    "slab with cut-outs": "slab with cut-outs",
    "disc": "disc",
    "ring": "ring: a disc with a round hole",
    "tray": "tray or box: a floor with returns",
    "trough": "trough: a channel, open at the top",
    "corners": "flat shape by its corners",
    "profile": "one section along a length, such as a sill cap",
    "other": "something else: any mould, bags, a mass, a volume",
}
OTHER: Mapping[str, str] = {
    "water fill": "any mould, by the water it holds",
    "bags": "what bags make",
    "mass": "a mass of mix",
    "volume": "a volume of mix",
    "stock": "as much as the stock allows",
}
SHAPE_NAMES: Mapping[str, str] = {
    "slab": "slab",
    "slab with cut-outs": "slab with cut-outs",
    "disc": "disc",
    "ring": "ring",
    "tray": "tray",
    "trough": "trough",
    "corners": "flat shape",
    "profile": "profile",
    "water fill": "mould",
}

ASKS: Mapping[str, str] = {
    "length": "How long is it?",
    "width": "How wide is it?",
    "diameter": "What is its diameter?",
    "outer_diameter": "What is its outer diameter?",
    "inner_diameter": "What is the diameter of the hole?",
    "front": "How high is the return at the front, from the bottom of the floor?",
    "back": "How high is the return at the back?",
    "left": "How high is the return at the left?",
    "right": "How high is the return at the right?",
    "top_width": "How wide is it at the top, outside?",
    "floor_width": "How wide is it at the floor, outside?",
    "height": "How high is it, outside?",
    "ends": "Are its ends closed?",
    "corner_count": "How many corners has it?",
    "corner_x": "Corner {number}: how far along?",
    "corner_y": "Corner {number}: how far across?",
    "cut_count": "How many cut-outs has it?",
    "cut_kind": "Cut-out {number}: what form has it?",
    "cut_x": "Cut-out {number}: how far along from the left edge is its {place}?",
    "cut_y": "Cut-out {number}: how far across from the front edge is its {place}?",
    "cut_diameter": "Cut-out {number}: what is its diameter?",
    "cut_length": "Cut-out {number}: how long is it?",
    "cut_width": "Cut-out {number}: how wide is it?",
    "water": "Fill the mould with water and weigh it. How much water does it hold?",
    "water_temperature": "How warm is that water?",
    "thickness": "How thick is it all together?",
    "face_coat": "How thick is the face coat? Type 0 for none.",
    "faced": "How much of the section's outline lies against the mould?",
    "faced_length": "How long is the face of the mould?",
    "faced_width": "How wide is the face of the mould?",
    "count": "How many of it are cast?",
    "bag_material": "Bags of what? Type its number.",
    "bag_count": "How many bags?",
    "mass": "How much mix, all together?",
    "volume": "How much mix?",
    "recipe": "Which recipe? Type its number.",
    "moisture": "{sand}: how damp is it? All water in it, in per cent of its dry mass.",
    "pan_wet": "{sand}: how much as it is, without the pan?",
    "pan_dry": "{sand}: how much once dried in the pan, without it?",
    "bucket": "How large is the mixing bucket, to the brim?",
    "waste": "How much is wasted, besides what stays in the bucket?",
    "shop": "How warm is the shop?",
}
DETAILS: Mapping[str, str] = {
    "length": "Sizes of the finished piece. A unit may follow the number.",
    "count": "Pieces of the same kind.",
    "corner_count": "Corners in order round the edge.",
    "front": "Type 0 for a side without one.",
    "moisture": "The recipe says {recipe}. A pan test is surer.",
    "bucket": "Up to {easy} of it mixes with ease; {limit} is the limit.",
    "waste": "On tools, trimmed off, spilt: usually 5 to 10 %.",
    "shop": "It changes the working time, and whether polymer can form its film.",
}
CHOICES: Mapping[str, Mapping[str, str]] = {
    "ends": {"closed": "closed", "open": "open"},
    "cut_kind": {"round": "round", "rectangular": "rectangular"},
}
CUT_PLACES: Mapping[str, str] = {"round": "middle", "rectangular": "nearest corner"}

NOUGHT: Mapping[str, str] = {"face_coat": "no face coat"}
NONE_THERE = "none"
NOT_KNOWN = "leave it out"
MORE_LINE = "more of them"

UNIT_WORDS: Mapping[str, str] = {
    "mm": "millimetres",
    "in": "inches",
    "L": "litres",
    "US gal": "US gallons",
    "kg": "kilograms",
    "lb": "pounds",
    "%": "per cent",
    "°C": "degrees Celsius",
    "°F": "degrees Fahrenheit",
}

BACK_WORDS = "go back"
PAN_WORDS = "pan test"
PER_CENT_WORDS = "type per cent"
ANOTHER_WORDS = "add another piece"
KEEP_WORDS = "keep it for later"
MORE_WORDS = "more of the plan"

NOT_A_CHOICE = "Type the number of a line, then Enter."
NOTHING_TYPED = "Type the answer, then Enter."
NOT_WHOLE = "Type a whole number from {least} to {most}."
OUT_OF_RANGE = "{found} cannot be: from {least} to {most}."
NO_PLAN = "There is no plan yet. Go back and correct what is said below."
RESULT_ASK = "{volume} of mix in {buckets}. Weigh out and mix {first}."
FIRST_OF_ONE = "it"
FIRST_OF_MORE = "the first"
MIX_ENTER = "mix bucket {number} of {count} now"
COST_LINE = "Cost {total}."
COST_EACH_LINE = "Cost {total}, {each} a piece."
MIX_WARM_LINE = "The mix will be about {mix}, workable for about {least} to {most} min."
MORE_CAUTIONS = "And {count} more to mind: press / for all of the plan."
MORE_BUCKETS = "and {buckets}: press /"
MORE_ROWS = "and {count} more lines: press /"
PAGE_PLACE = "page {page} of {count}"
CAUTION_WORD, CAUTION_SYMBOL = "MIND", "!"
STOP_WORD, STOP_SYMBOL = "STOP", "!!"

LEFT_PLANNING = "Left while planning. An unfinished plan is not kept: start again at question 1."
KEPT = "Plan {plan_id} is kept. Mix it with: mixstation mix --plan {plan_id}"
KEPT_SHEET = "Its weigh-out sheet: {sheet}"
NEXT_ASK = "Bucket {done} of {count} is done. Mix bucket {number}?"
NEXT_ENTER = "mix bucket {number} now"
AGAIN_ASK = "Bucket {done} of {count} was discarded. Mix it again?"
LATER_WORDS = "later"
NEXT_DETAIL = "The same recipe, the same order, the same water. Have the next bucket clean and damp."
ALL_DONE = "All {count} buckets of plan {plan_id} are mixed."
NEXT_LATER = "Go on with bucket {number}: mixstation mix --plan {plan_id}"

DILUTED_NAME = "{name}, 1 in {ratio}"
NOTES: Mapping[str, str] = {
    "other": "On “{scale}”, in a tub. Type what it shows.",
    "fills": "Fill the tub {count} times.",
    "dilution": "On “{scale}”, out of {material} {name} in {water} water ({buckets}); that water is counted.",
    "difference": "Too small for “{scale}”: weigh the packet before and after, type the difference.",
}
FOR_ONE, FOR_ALL = "this bucket", "all {count} buckets"

ASK_AFTER = "m: mix it now, k: keep it for later, Enter: neither."
