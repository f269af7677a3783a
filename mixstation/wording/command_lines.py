"""What commands say of the words they were given: what does not fit, what is missing, what to write."""

NOTHING_SAID = "nothing is said; say a value, or leave it out"

RECIPE_OR_PLAN = "say a recipe with how much of it, or --plan ID alone"
NUMBER_WITHOUT_PLAN = "--number is of the buckets of a plan: say --plan ID too"
NO_SUCH_BUCKET = "plan {plan_id} has buckets 1 to {count}"
NO_SUCH_SCALE = "no scale “{name}” is on file; there is {known}"
NONE = "none"
ALL_MIXED = "Plan {plan_id} is mixed: {buckets}. To mix one again: --number N"

BOTH_OR_NEITHER = "say both a recipe and what is cast, or neither to be asked; see --help"
SIZES = '“{found}”: write {sizes}, such as "700 x 450 x 18 mm"'
CLAIM_OF = '--claim is of "mix" or of "powder", not of “{found}”'

NEVER_CLOSED = "That batch was never closed. Close it first, or leave --batch out."
OLDER = "and {count} older: mixstation records --all"

SAY_MORE = "say {missing}; see --help for examples"
PAIR = '{found}: write MATERIAL=MASS, such as water="1.3 kg"'
ADD_UP = "{found} is said twice: add the two up"
TWICE = "{found} is said twice"
NOT_JSON = "{file}: not JSON that can be read: {why}"
NOT_AN_OBJECT = "{file}: must be an object of {keys}"
NOT_MASSES = '{file}: "{key}" must be an object of masses as text, such as {{"water": "1.3 kg"}}'
NOT_TEXT = '{file}: "{key}" must be text with its unit, such as "8 kg"'
NOT_YES_OR_NO = '{file}: "{key}" must be true or false'
TOO_LONG = "{file}: more than {limit} KiB is no account of a bucket"
NOT_UTF8 = "{file}: not UTF-8 text; write it as UTF-8"
NO_SUCH_MATERIAL = "this recipe has no {found}; it has {known}"
NO_SUCH_MASSES = "no bucket holds such masses; look for a zero too many"
