"""The programme behind the ways: what may be added or taken out, under every band and limit, in grams and litres.

Rules: whole divisions are the unknowns, and with them, where the bucket is mixed, whole divisions of a portion taken
out. Nothing is added past its target: not water, not a dose; and no powder past the proportion of the other
powders, so that neat cement is never a cure. What is already over may stay over inside its band.
"""

from fractions import Fraction
from math import floor

from mixstation.batch.ways.bands import DoseBand, End, PowderBand, WaterBand
from mixstation.batch.ways.goals import Freedom, Goal
from mixstation.batch.ways.mend import SAME_COLOUR_ROLES, Mend, mend_of, planned_rest
from mixstation.batch.ways.situation import Part, Situation
from mixstation.proportion.programme import Linear, Programme, Solution, combine
from mixstation.recipe.model import Basis, Role
from mixstation.recipe.pigments import pigment_shares
from mixstation.recipe.proportions import litres_per_kg

# Choice: rows are held this much inside, so that what the solver's floats pass the exact check passes too.
MARGIN_G = 1e-4
# Choice: with no bucket on file, no way grows a batch past this many times its size.
MOST_GROWTH = 4.0
# Choice: no material is ever more than this many times its share of the batch.
WIDEST_SHARE = 2.0
# Choice: beyond half the bucket it is quicker to begin anew.
MOST_SCOOPED = Fraction(1, 2)
# Choice: a limit that is let go costs more than anything that keeps it.
LET_GO = 2000.0

MG_PER_G = 1000


class Search:
    """A programme put together for one situation, one freedom and one goal."""

    __slots__ = (
        "amounts",
        "costs",
        "counts",
        "freedom",
        "goal",
        "programme",
        "scoops",
        "situation",
        "totals",
    )

    def __init__(self, situation: Situation, freedom: Freedom, goal: Goal) -> None:
        self.situation = situation
        self.freedom = freedom
        self.goal = goal
        self.programme = Programme()
        self.costs: list[tuple[float, Linear]] = []
        self.counts: dict[str, Linear] = {}
        self.amounts: dict[str, Linear] = {}
        self.totals: dict[str, Linear] = {}
        self.scoops = self._scoop()
        for part in situation.parts.values():
            self._unknown_addition(part)
        self._volume()
        if situation.powders:
            self._powders()
        for key, band in situation.doses.items():
            self._dose(situation.parts[key], band)
        self._pigments()
        if situation.water is not None:
            self._water(situation.water)
        if situation.run.fibres_in:
            self._slurry()

    @property
    def cost(self) -> Linear:
        """What is made least, in thousandths of a batch: a solver may lose costs that are small as such."""
        return combine((1000 * price, amount) for price, amount in self.costs)

    def found(self) -> tuple[Mend | None, Solution]:
        """The best mend, or None, with what the solver said."""
        solution = self.programme.least(self.cost)
        if not solution.values:
            return None, solution
        counts = {key: round(solution.of(count)) for key, count in self.counts.items()}
        scoop_mg = 0 if self.scoops is None else round(solution.of(self.scoops)) * self.situation.scoop_mg
        return mend_of(self.situation, scoop_mg, counts), solution

    def _scoop(self) -> Linear | None:
        step_mg = self.situation.scoop_mg
        if not self.freedom.scoop or not step_mg:
            return None
        most = floor(MOST_SCOOPED * self.situation.in_bucket_mg / step_mg)
        scoops = self.programme.unknown(0, most, whole=True)
        self.costs.append((self.goal.scoop * step_mg / float(self.situation.planned_mg), scoops))
        return scoops

    def _unknown_addition(self, part: Part) -> None:
        key, division_g = part.material.key, part.division_mg / MG_PER_G
        content_g = _grams(part.content_mg)
        taken = Linear()
        if self.scoops is not None:
            share = self.situation.scoop_mg / float(self.situation.in_bucket_mg)
            taken = combine([(content_g * share, self.scoops)])
        most = self._most_count(part)
        if not most:
            self.amounts[key] = Linear()
            self.totals[key] = combine([(1.0, Linear(content_g)), (-1.0, taken)])
            return
        count = self.programme.unknown(0, most, whole=True)
        self.counts[key] = count
        self.amounts[key] = combine([(division_g, count)])
        self.totals[key] = combine([(1.0, Linear(content_g)), (-1.0, taken), (1.0, self.amounts[key])])
        self._extra(part, count)

    def _most_count(self, part: Part) -> int:
        """Divisions that can go in, by the shelf and by how large the batch can become."""
        any_stock = self.freedom.any_stock
        if not (part.addable or (any_stock and part.found_only)):
            return 0
        largest = Fraction(WIDEST_SHARE * self._roomy_l() / self.situation.aimed_l) * part.aimed_mg
        most = max(0, floor((largest - part.content_mg * self._least_left()) / part.division_mg))
        shelf = self.situation.limits.stock_mg.get(part.material.key)
        if shelf is not None and not any_stock:
            most = min(most, shelf // part.division_mg)
        return most

    def _least_left(self) -> int:
        return 1 if self.scoops is None else 0

    def _roomy_l(self) -> float:
        full_l = self.situation.limits.full_l
        wide_l = MOST_GROWTH * max(self.situation.aimed_l, self.situation.needed_l)
        return wide_l if full_l is None or self.freedom.any_stock else full_l

    def _extra(self, part: Part, count: Linear) -> None:
        """What is added beyond the plan costs; beyond the shelf it costs far more."""
        division_g, planned_g = part.division_mg / MG_PER_G, _grams(self.situation.planned_mg)
        extra = self.programme.unknown()
        allowed_g = _grams(planned_rest(self.situation, part.material.key))
        self.programme.at_least(combine([(1.0, extra), (-division_g, count)]), -allowed_g)
        self.costs.append((self.goal.extra / planned_g, extra))
        shelf = 0 if part.found_only else self.situation.limits.stock_mg.get(part.material.key)
        if self.freedom.any_stock and shelf is not None:
            lacking = self.programme.unknown()
            self.programme.at_least(combine([(1.0, lacking), (-division_g, count)]), -shelf / MG_PER_G)
            self.costs.append((LET_GO / planned_g, lacking))

    def _volume(self) -> None:
        situation, recipe = self.situation, self.situation.run.recipe
        air = float(recipe.air_fraction)
        litres = combine(
            (litres_per_kg(recipe, key) * 1e-3 / (1 - air), total) for key, total in self.totals.items()
        )
        full_l = situation.limits.full_l
        if full_l is None:
            full_l = self._roomy_l()
        self._at_most(litres, full_l, LET_GO / situation.aimed_l, self.freedom.any_stock)
        price = self.goal.short / situation.aimed_l
        self._at_least(litres, situation.needed_l, price, self.freedom.any_volume)
        self._at_least(litres, situation.aimed_l, price, soft=True)

    def _powders(self) -> None:
        """One size of the batch suits all powders; what is added past the plan keeps to the least of them."""
        size, fair = self.programme.unknown(), self.programme.unknown()
        for key, band in self.situation.powders.items():
            part, total = self.situation.parts[key], self.totals[key]
            full_g = _grams(band.size_mg)
            soft, price = self.freedom.any_band, LET_GO / _grams(band.half_mg)
            if not part.waived:
                self._at_most(
                    combine([(1.0, total), (-float(band.high.fraction) * full_g, size)]),
                    _grams(band.high.slack_mg) - MARGIN_G,
                    price,
                    soft,
                )
                self._at_least(
                    combine([(1.0, total), (-float(band.low.fraction) * full_g, size)]),
                    MARGIN_G - _grams(band.low.slack_mg),
                    price,
                    soft,
                )
            self._off(combine([(1.0, total), (-full_g, size)]), band.fine_mg, band.half_mg)
            self._fair(part, band, fair)

    def _fair(self, part: Part, band: PowderBand, fair: Linear) -> None:
        key, full_g, fine_g = part.material.key, _grams(band.size_mg), _grams(band.fine_mg)
        total, count = self.totals[key], self.counts.get(key)
        if count is None:
            if not part.waived:
                low = float(band.low.fraction) * full_g
                self.programme.at_least(
                    combine([(1.0, total), (-low, fair)]), -_grams(band.low.slack_mg) - MARGIN_G
                )
            return
        self.programme.at_least(combine([(1.0, total), (-full_g, fair)]), -fine_g)
        most = self.programme.unknowns[next(iter(count.factors))].high
        past = self.programme.unknown(0, 1, whole=True)
        allowed_g = _grams(planned_rest(self.situation, key))
        most_g = most * part.division_mg / MG_PER_G
        self.programme.at_most(combine([(1.0, self.amounts[key]), (-most_g, past)]), allowed_g)
        widest_g = _grams(part.content_mg) + most_g
        self.programme.at_most(combine([(1.0, total), (-full_g, fair), (widest_g, past)]), fine_g + widest_g)

    def _dose(self, part: Part, band: DoseBand) -> None:
        key = part.material.key
        counted = combine([(float(band.counted), self.totals[key])])
        basis = self._basis(band.of)
        soft, price = self.freedom.any_band, LET_GO / _grams(band.half_mg)
        if band.cap is not None:
            over = combine([(1.0, counted), (-float(band.cap.fraction), self._basis(band.cap.of))])
            self._at_most(over, -MARGIN_G, price, soft)
        if band.high is not None:
            self._at_most(
                _against(counted, band.high, basis), _grams(band.high.slack_mg) - MARGIN_G, price, soft
            )
        if band.low is not None and not part.waived:
            low = _against(counted, band.low, basis)
            self._at_least(low, MARGIN_G - _grams(band.low.slack_mg), price, soft)
        if not band.target:
            self._not_added(key)
            return
        away = combine([(1.0, counted), (-float(band.target), basis)])
        colours = part.material.role in SAME_COLOUR_ROLES
        if self.goal.same_colour and colours and not part.waived:
            self.programme.at_most(away, _grams(band.fine_mg))
            self.programme.at_least(away, -_grams(band.fine_mg))
        elif not self.goal.same_colour:
            self._off(away, band.fine_mg, band.half_mg)
        content = self.situation.run.content
        now_over = content[key] * band.counted - band.target * self.situation.basis(content, band.of)
        widest_g = self._widest_g(band.of, band.target, band.high)
        self._not_past_target(key, away, band.fine_mg, widest_g, is_over=now_over > band.fine_mg)

    def _slurry(self) -> None:
        """With fibres in, powder goes in past the plan only as a plain slurry mixed apart, at the recipe's ratio.

        While some of what makes it up is still to come into the bucket by the plan, there is no slurry apart from it.
        """
        made_of = {
            key: part
            for key, part in self.situation.parts.items()
            if part.material.is_powder or part.material.role in (Role.WATER, Role.POLYMER)
        }
        waits = any(self.situation.run.pending(key) for key in made_of)
        size = self.programme.unknown(0, 0.0 if waits else MOST_GROWTH)
        for key, part in made_of.items():
            fine_g, aimed_g = part.division_mg / MG_PER_G / 2, _grams(part.aimed_mg)
            past_g = combine([(1.0, self.amounts[key]), (-aimed_g, size)])
            if part.material.is_powder:
                self.programme.at_most(past_g, _grams(planned_rest(self.situation, key)) if waits else fine_g)
            self.programme.at_least(past_g, -fine_g)

    def _pigments(self) -> None:
        """All pigment together keeps to the standard's limit and to that of each pigment in the blend."""
        shares = pigment_shares(self.situation.run.recipe)
        dry = combine((float(share), self.totals[key]) for key, share in shares.items())
        for cap in self.situation.pigment_caps:
            over = combine([(1.0, dry), (-float(cap.fraction), self._basis(cap.of))])
            price = LET_GO / _grams(self.situation.planned_mg)
            self._at_most(over, -MARGIN_G, price, self.freedom.any_band)

    def _water(self, band: WaterBand) -> None:
        recipe = self.situation.run.recipe
        water = combine((float(share), self.totals[key]) for key, share in self.situation.waters.items())
        basis = self._basis(band.of)
        half_g, soft = _grams(band.half_mg), self.freedom.any_band
        over = combine([(1.0, water), (-float(band.most), basis)])
        under = combine([(1.0, water), (-float(band.least), basis)])
        self._at_most(over, -MARGIN_G, LET_GO / half_g, soft)
        self._at_least(under, MARGIN_G, LET_GO / half_g, soft)
        guard = float(band.guard)
        if guard:
            price = self.goal.unsure / half_g
            self._at_most(combine([(1.0, over), (guard, basis)]), 0.0, price, soft=True)
            self._at_least(combine([(1.0, under), (-guard, basis)]), 0.0, price, soft=True)
        away = combine([(1.0, water), (-float(band.target), basis)])
        self._off(away, band.fine_mg, band.half_mg)
        widest_g = self._widest_g(band.of, band.target, End(fraction=band.most))
        self._not_past_target(recipe.water_key, away, band.fine_mg, widest_g, is_over=True)

    def _not_past_target(
        self, key: str, away: Linear, fine_mg: Fraction, widest_g: float, *, is_over: bool
    ) -> None:
        """What is added must not end past its target; what nothing is added to may.

        What is not over now cannot come to be over by what is added to the rest, so it needs no choice.
        """
        count = self.counts.get(key)
        if count is None:
            return
        if not is_over:
            self.programme.at_most(away, _grams(fine_mg))
            return
        most = self.programme.unknowns[next(iter(count.factors))].high
        adds = self.programme.unknown(0, 1, whole=True)
        self.programme.at_most(combine([(1.0, count), (-most, adds)]), 0.0)
        self.programme.at_most(combine([(1.0, away), (widest_g, adds)]), _grams(fine_mg) + widest_g)

    def _widest_g(self, basis: Basis, target: Fraction, high: End | None) -> float:
        """More than a material is ever past its target where its band is kept; None of it is known otherwise."""
        if high is None or self.freedom.any_band:
            return sum(self._most_g(key) for key in self.situation.parts)
        shares = self.situation.shares[basis]
        most_g = sum(float(share) * self._most_g(key) for key, share in shares.items())
        return float(high.fraction - target) * most_g + _grams(high.slack_mg)

    def _most_g(self, key: str) -> float:
        part, count = self.situation.parts[key], self.counts.get(key)
        most = self.programme.unknowns[next(iter(count.factors))].high if count is not None else 0.0
        return _grams(part.content_mg + part.division_mg * Fraction(most))

    def _not_added(self, key: str) -> None:
        count = self.counts.get(key)
        if count is not None:
            self.programme.at_most(count, 0.0)

    def _basis(self, basis: Basis) -> Linear:
        shares = self.situation.shares[basis]
        return combine((float(share), self.totals[key]) for key, share in shares.items())

    def _off(self, away: Linear, fine_mg: Fraction, half_mg: Fraction) -> None:
        """What is off target by more than rounding costs."""
        off = self.programme.unknown()
        self.programme.at_most(combine([(1.0, away), (-1.0, off)]), _grams(fine_mg))
        self.programme.at_least(combine([(1.0, away), (1.0, off)]), -_grams(fine_mg))
        self.costs.append((self.goal.off / _grams(half_mg), off))

    def _at_most(self, linear: Linear, high: float, price: float, soft: bool) -> None:
        if soft:
            past = self.programme.unknown()
            self.costs.append((price, past))
            linear = combine([(1.0, linear), (-1.0, past)])
        self.programme.at_most(linear, high)

    def _at_least(self, linear: Linear, low: float, price: float, soft: bool) -> None:
        if soft:
            past = self.programme.unknown()
            self.costs.append((price, past))
            linear = combine([(1.0, linear), (1.0, past)])
        self.programme.at_least(linear, low)


def _against(counted: Linear, end: End, basis: Linear) -> Linear:
    return combine([(1.0, counted), (-float(end.fraction), basis)])


def _grams(mass_mg: Fraction | int) -> float:
    return float(mass_mg) / MG_PER_G
