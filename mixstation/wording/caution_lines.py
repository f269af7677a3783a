"""One sentence for every caution of a plan: what was found, what is usual, what to do."""

from typing import assert_never

from mixstation.plan import cautions as told
from mixstation.plan.cautions import Caution, OfDay, OfFigures, OfWork
from mixstation.proportion import temperature
from mixstation.wording.spoken import Voice, spoken


def caution_line(caution: Caution, voice: Voice) -> str:
    """The sentence for a caution."""
    return spoken(_template(caution), caution, voice)


def _template(caution: Caution) -> str:
    if isinstance(caution, OfDay):
        return _of_day(caution)
    if isinstance(caution, OfFigures):
        return _of_figures(caution)
    return _of_work(caution)


def _of_day(caution: OfDay) -> str:
    match caution:
        case temperature.WaterTooHot():
            return "Water of {found_c} is too hot: stay below {limit_c}. Warm the materials instead."
        case temperature.WaterOffCement():
            return (
                "Water of {found_c} can scald: gloves and goggles on before it is handled. Above {limit_c} sand "
                "goes into it first, cement or blend last."
            )
        case temperature.MixBelowFilmForming():
            return (
                "Do not cast: the mix will be {found_c}, and the polymer forms no film below {limit_c}. Warm the "
                "materials or the water."
            )
        case temperature.IceOverSureShare():
            return (
                "{found_fraction:0} of the water as ice is more than {limit_fraction:0}, beyond which the figure "
                "is less sure. Cool the materials too, and measure the mix."
            )
        case told.AirBelowFilmForming():
            return (
                "Do not cast: the shop is at {found_c}, and the polymer forms no film below {limit_c}. Warm the "
                "shop and keep it warm until the film is there."
            )
        case told.WantedOutOfReach():
            return (
                "{wanted_c} is out of reach: at most {reached_c}, with water of {water_c}, and no hotter. Warm "
                "the materials instead."
            )
        case told.WantedTooCold():
            return (
                "Neither cold water nor ice brings the mix down to {wanted_c}; it will be {mix_c}. Cool the "
                "materials."
            )
        case told.WorkingTimeShort():
            return "The mix may stiffen after {least_min}. Keep it cooler, mix less at a time, or use a retarder."
        case told.DryingThinSkin():
            return (
                "A fresh face may lose {rate_kg_m2_h:plain} kg/m² of water an hour: cover thin skins at once."
            )
        case told.DryingAnySurface():
            return (
                "A fresh face may lose {rate_kg_m2_h:plain} kg/m² of water an hour, enough to crack it. Shield it"
                " from wind and sun, cover it at once."
            )
        case _ as forgotten:
            assert_never(forgotten)


def _of_figures(caution: OfFigures) -> str:
    match caution:
        case told.YieldContradicts():
            return (
                "{claimed_l} is claimed, which means {implied_kg_m3}; the materials fill {computed_l}, "
                "{computed_kg_m3}. Do not plan by the claim."
            )
        case told.OddDensity():
            return (
                "{material} is read as {found_kg_m3}; usual is near {usual_kg_m3}. Look for a digit missing or "
                "too many: all volumes follow from it."
            )
        case told.DenserThanAirFree():
            return (
                "A measured density of {measured_kg_m3} is more than the materials have without any air "
                "({air_free_kg_m3}). A mass, a volume or a density is wrong: measure again."
            )
        case told.DensityContradicts():
            return (
                "The measured density is {measured_kg_m3}, the recipe gives {computed_kg_m3}; it would mean "
                "{air_fraction} of air. Measure again, or correct the air or the densities."
            )
        case told.BucketAboveEasy():
            return (
                "Bucket {bucket_number} holds {held_l}; up to {easy_l} mixes with ease. Mix longer and scrape "
                "well, or take more buckets."
            )
        case told.BucketHeavy():
            return (
                "Bucket {bucket_number} weighs {found_mg} full; one person lifts {limit_mg} at most. Do not lift "
                "it alone, or take more buckets."
            )
        case told.PieceHeavy():
            return "“{piece}” weighs {found_mg}; one person lifts {limit_mg} at most. Plan help or a hoist."
        case told.ThicknessUnusual():
            return (
                "“{piece}” is {found_mm} thick; thin pieces are usually {least_mm} to {most_mm}. Look at the "
                "figure again."
            )
        case told.FaceThicknessUnusual():
            return (
                "The face coat of “{piece}” is {found_mm}; usual are {least_mm} to {most_mm}. Look at the figure "
                "again."
            )
        case _ as forgotten:
            assert_never(forgotten)


def _of_work(caution: OfWork) -> str:
    match caution:
        case told.NoScale():
            if caution.file:
                return (
                    "No scale is on file, so weights are to {division_mg:fine}. Put your scale on file, in {file}: "
                    "small doses may need a finer one."
                )
            return (
                "No scale is on file, so weights are to {division_mg:fine}. Put your scale on file: small doses "
                "may need a finer one."
            )
        case told.DoseDiluted():
            return (
                "{material}: {dose_mg} is too small for “{scale}”, which is good for {least_mg} and more. Weigh "
                "it as a dilution; its water is counted."
            )
        case told.DoseTooSmall():
            return (
                "{material}: {dose_mg} is too small for “{scale}”, which is good for {least_mg} and more. Use a "
                "finer scale; or weigh the packet before and after, for all buckets together where you can. As it"
                " is, the dose may be {error_fraction:0} off."
            )
        case told.ScaleUnchecked():
            return "“{scale_name}” has no check on file. Check it with a known mass."
        case told.ScaleCheckOld():
            return "“{scale_name}” was last checked {age_days:plain} days ago. Check it with a known mass."
        case told.SplitAdded():
            return (
                "The recipe takes no {layer} out; this plan does, before the fibres go in. See that it suits the "
                "mix."
            )
        case told.SplitLeftOut():
            return "The recipe takes out a {layer}, but no piece has one: that step is left out."
        case told.FaceFromSeveralBuckets():
            return (
                "One bucket is too small for the face coat: it comes from {bucket_count}, whose colour may "
                "differ. Take a larger bucket if you can."
            )
        case told.StiffBeforePlaced():
            return (
                "Bucket {bucket_number} may begin to stiffen {working_min} after its first water, but is placed "
                "only after {placed_min}. Keep the mix cooler, or mix the backing as a bucket of its own."
            )
        case told.BackingAfterWindow():
            return (
                "Bucket {bucket_number} goes on {after_min} after the face; the window ends at {window_min}. Work"
                " with a helper, cast fewer pieces at once, or keep the face moist and judge it by touch."
            )
        case told.Short():
            if caution.buy_count is not None:
                return (
                    "{material}: short by {short_mg} of {need_mg}. Buy {buy_count:pack|packs}, or make a smaller "
                    "batch."
                )
            return "{material}: short by {short_mg} of {need_mg}. Buy more, or make a smaller batch."
        case told.SeveralLots():
            return (
                "{material} comes from several lots ({lots}), whose colour may differ. Use one lot for what will "
                "stand side by side, or blend them dry first."
            )
        case _ as forgotten:
            assert_never(forgotten)
