//! What the owner's guess does to a price.

use super::answer::{EyeQuote, PriceQuestion};
use super::unrounded::Unrounded;
use crate::pricing::eye::learnt::Eye;
use crate::pricing::value::levels::Levels;

/// The step of the waterfall.
const STEP: &str = "your own eye";

/// Puts the guess and the price without it together; nothing changes without a guess
/// above 0, or out of reach of whole minor units.
pub(super) fn look_at(done: &mut Unrounded, question: &PriceQuestion, eye: &Eye) {
    let guess = question.guess.filter(|guess| guess.minor() > 0);
    let without = done.currency.round(done.ln_value.exp());
    let (Some(guess), Some(without)) = (guess, without) else {
        return;
    };
    let off = done.currency.units(guess).ln() - done.ln_value;
    let look = eye.look(off, done.bike_variance);
    look.over(&mut done.sale, done.luck);
    // Widths with a guess were corrected by sales with guesses.
    done.levels = Levels::default();
    done.ln_value += look.moves;
    done.bike_variance = look.bike(done.bike_variance);
    done.steps.push((STEP, true, look.moves));
    done.eye = Some(EyeQuote {
        guess,
        from: eye.from,
        weight: look.weight,
        without,
        misses: eye.misses,
    });
}
