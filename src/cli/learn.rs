//! The model that an answer rests on: learnt from the records or, where nothing has
//! changed since, as the book kept it. Either way it is the same to the last bit.

use super::book_records::BookRecords;
use super::failure::Failure;
use crate::book::Kept;
use crate::pricing::design::coding::Coding;
use crate::pricing::records::curve::CompsOfStyle;
use crate::pricing::records::nearest::NearestComps;
use crate::pricing::records::observation::{Observation, of_comp};
use crate::pricing::time_on_market::SeenListings;
use crate::pricing::value::cache::index::{CompIndex, Search};
use crate::pricing::value::cache::{ENOUGH, from_bytes, key, to_bytes};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::recipe::{NoFit, ValueModel};
use crate::pricing::value::reduce::{CompMet, Observer, Reduced};
use crate::pricing::{Records, ValueSettings};
use crate::trade::{Bike, Comparable};

/// What was learnt.
pub(super) struct Learnt {
    /// The value model; `None` without any prices.
    pub fitted: Option<FittedValue>,
    /// Listings that tell of the pace.
    pub listings: SeenListings,
    /// Comps like the bike that was asked for.
    pub like: Option<Like>,
}

/// A bike whose like are looked for.
pub(super) struct Sought<'a> {
    pub bike: &'a Bike,
    /// Whether the comps of its style are to be drawn.
    pub drawn: bool,
}

/// Comps like one bike.
pub(super) struct Like {
    pub nearest: NearestComps,
    /// Those of its style; none where they are not to be drawn and the model was kept.
    pub of_style: CompsOfStyle,
}

impl Like {
    fn to(bike: &Bike, settings: &ValueSettings) -> Self {
        let as_of = settings.as_of;
        Self {
            nearest: NearestComps::new(bike, as_of, &settings.currency),
            of_style: CompsOfStyle::new(bike.style, as_of),
        }
    }
}

/// Learns the model, or takes the one that the book kept; keeps it where it rests on
/// many comps.
///
/// # Errors
/// When the records cannot be read or the fit is refused.
pub(super) fn learn(
    records: &BookRecords<'_>,
    model: &ValueModel<'_>,
    sought: Option<Sought<'_>>,
) -> Result<Learnt, Failure> {
    let settings = &model.settings;
    // Without a sale of its own the model is another one, for that bike alone.
    let leaves_out = |id: &String| {
        let mut sales = records.sales().iter();
        sales.any(|s| s.id == *id && s.sold_by(settings.as_of).is_some())
    };
    let state = records.state();
    let state = state.filter(|_| !settings.without.as_ref().is_some_and(leaves_out));
    let key = key(settings.as_of);
    if let Some(state) = state {
        let read = |kept: Kept<'_>| read(&kept, records, model, sought.as_ref());
        if let Some(learnt) = records.book().learnt(&key, state, read) {
            return Ok(learnt);
        }
    }
    let mut watch = Watching {
        like: sought.map(|sought| Like::to(sought.bike, settings)),
        listings: SeenListings::new(settings.as_of, settings.currency),
        likes: state.is_some().then(CompIndex::default),
        model: None,
    };
    let fitted = match model.fit(records, &mut watch) {
        Ok(fitted) => Some(fitted),
        Err(NoFit::NoRecords) => None,
        Err(other) => return Err(other.into()),
    };
    if let (Some(state), Some(likes), Some(bytes)) = (state, &watch.likes, &watch.model)
        && let Some(parts) = likes.parts()
    {
        records.book().keep_learnt(&key, state, bytes, parts);
    }
    Ok(Learnt {
        fitted,
        listings: watch.listings,
        like: watch.like,
    })
}

/// The model as it was kept; `None` where anything is odd.
fn read(
    kept: &Kept<'_>,
    records: &BookRecords<'_>,
    model: &ValueModel<'_>,
    sought: Option<&Sought<'_>>,
) -> Option<Learnt> {
    let ValueSettings {
        as_of, currency, ..
    } = model.settings;
    let learnt = from_bytes(&kept.model, as_of, currency)?;
    let mut like = sought.map(|sought| Like::to(sought.bike, &model.settings));
    if let (Some(like), Some(sought)) = (&mut like, sought) {
        let (coding, b) = (&learnt.reduced.coding, &learnt.reduced.pilot);
        let search = Search::new(sought.bike, as_of, &currency, b, &learnt.years);
        let whole = |row: i64| {
            let comp = records.book().comp_by_row(row).ok()??;
            let seen = of_comp(&comp, 1.0, as_of, &currency).ok()?;
            Some((comp, seen))
        };
        let mut reach = f64::INFINITY;
        kept.each_part(|part| {
            search.through(part, &mut reach, |row, reach| {
                let (comp, seen) = whole(row)?;
                like.nearest.comp(met(row, &comp, &seen), coding, b);
                *reach = like.nearest.reach();
                Some(())
            })?;
            if !sought.drawn {
                return Some(());
            }
            search.of_style(part, |row| {
                if like.of_style.is_full() {
                    return Some(());
                }
                let (comp, seen) = whole(row)?;
                like.of_style.comp(met(row, &comp, &seen), coding, b);
                Some(())
            })
        })?;
    }
    Some(Learnt {
        fitted: Some(model.fit_reduced(learnt.reduced).ok()?),
        listings: learnt.listings,
        like,
    })
}

fn met<'a>(key: i64, comp: &'a Comparable, seen: &'a Observation) -> CompMet<'a> {
    CompMet { key, comp, seen }
}

struct Watching {
    like: Option<Like>,
    listings: SeenListings,
    /// What is kept of the comps, where it may be.
    likes: Option<CompIndex>,
    model: Option<Vec<u8>>,
}

impl Observer for Watching {
    fn comp(&mut self, met: CompMet<'_>, coding: &Coding, b: &[f64]) {
        if let Some(like) = &mut self.like {
            like.nearest.comp(met, coding, b);
            like.of_style.comp(met, coding, b);
        }
        if let Some(likes) = &mut self.likes {
            likes.push(met.key, &met.comp.bike, met.seen.day);
        }
        self.listings.comp(met, coding, b);
    }

    fn weighed(&mut self, comp: &Comparable, seen: &Observation, precision: f64) {
        self.listings.weighed(comp, seen, precision);
    }

    fn reduced(&mut self, reduced: &Reduced) {
        if let Some(likes) = &self.likes
            && reduced.gathered.comps >= ENOUGH
        {
            self.model = to_bytes(reduced, &self.listings, likes.years());
        }
    }
}
