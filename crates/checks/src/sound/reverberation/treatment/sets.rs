//! The cheapest sets of coverings, hung or taken away, that mend every octave of a room at once.

use std::collections::BTreeSet;

use acoustics::finishes::{self, Finish};
use acoustics::octave::OctaveBand;
use acoustics::treatment::{self, Bounds, Product, Purchase};
use model::TreatmentPlace;
use units::Seconds;

use super::{CARPET, CURTAIN, Change, LEFT_MIN_M2, Offer, PANELS, THICK_PANELS, remedy};
use crate::room_sound::{Covered, Hung, Taken};
use crate::sound::reverberation::{Judged, Room};
use crate::{Cost, Remedy};

/// What is offered where the shop states no prices: cut to size, the least area being the best.
const USUAL: [(&str, (&str, &str), TreatmentPlace); 6] = [
    ("carpet", CARPET, TreatmentPlace::Floor),
    ("panels", PANELS, TreatmentPlace::Walls),
    ("panels", THICK_PANELS, TreatmentPlace::Walls),
    ("ceiling-panels", PANELS, TreatmentPlace::Ceiling),
    ("ceiling-panels", THICK_PANELS, TreatmentPlace::Ceiling),
    ("curtain", CURTAIN, TreatmentPlace::Walls),
];
/// As many sets are offered: the cheapest, and the cheapest without what that one spends most on.
const SETS_MOST: usize = 2;
/// Lamps, sockets and loudspeakers keep their places on a wall or ceiling: no more of it is
/// covered than this share (common practice, no source).
const COVERED_MOST: f64 = 0.9;
/// Shares of what is left open of a time that a set is bought to keep clear of: all of it, so
/// that every octave is known to fit, else less.
const CLEARANCES: [f64; 3] = [1.02, 0.5, 0.02];
/// The largest absorption that a logarithm is given.
const LOG_ALPHA_MOST: f64 = 0.99;

/// What taking a square metre away counts where prices are stated, in money: next to nothing, so
/// that no more is taken away than has to be.
const TAKEN_AWAY: f64 = 0.01;

/// Something that can be bought and the surfaces that it can go over, or that hangs on one.
struct Sold {
    id: String,
    words: String,
    finish: &'static Finish,
    product: Product,
    surfaces: Vec<usize>,
    is_priced: bool,
}

impl Sold {
    /// Of these units, m².
    fn area_m2(&self, units: f64) -> f64 {
        units * self.product.piece_m2.unwrap_or(1.0)
    }
}

/// The cheapest sets of coverings, hung or taken away, that bring every octave of the room within
/// its limits at once, and so that all are known to fit where that can be had.
pub(in crate::sound::reverberation) fn of_room(room: &Room<'_>) -> Vec<Remedy> {
    let free = free_surfaces(room);
    let mut sold = sold(room, &free);
    let is_priced = !room.analysis.rates().treatment.is_empty();
    sold.extend(hung_there(room, &free, is_priced));
    let mut found = Vec::new();
    while found.len() < SETS_MOST {
        let Some((remedy, dearest)) = cheapest_set(room, &free, &sold, found.is_empty()) else {
            break;
        };
        found.push(remedy);
        sold.remove(dearest);
    }
    found
}

/// What the shop sells, or else the usual.
fn sold(room: &Room<'_>, free: &[(String, f64)]) -> Vec<Sold> {
    let on = |place: TreatmentPlace| -> Vec<usize> {
        let serves = |surface: &str| match place {
            TreatmentPlace::Floor => surface == "floor",
            TreatmentPlace::Ceiling => surface == "ceiling",
            TreatmentPlace::Walls => room.space.wall(surface).is_some(),
        };
        let at = free.iter().enumerate();
        at.filter(|(_, (surface, _))| serves(surface))
            .map(|(index, _)| index)
            .collect()
    };
    let shop = &room.analysis.rates().treatment;
    if shop.is_empty() {
        let usual = USUAL
            .into_iter()
            .filter_map(|(id, (finish, words), place)| {
                Some(Sold {
                    id: id.to_owned(),
                    words: words.to_owned(),
                    finish: finishes::finish(finish).ok()?,
                    product: Product {
                        is_taken_away: false,
                        price: 1.0,
                        fitting: 0.0,
                        piece_m2: None,
                        stock: f64::INFINITY,
                    },
                    surfaces: on(place),
                    is_priced: false,
                })
            });
        return usual.collect();
    }
    (shop.iter())
        .filter_map(|treatment| {
            let places: BTreeSet<usize> =
                treatment.over.iter().flat_map(|over| on(*over)).collect();
            let name = treatment.name.as_ref().unwrap_or(&treatment.id);
            Some(Sold {
                id: treatment.id.clone(),
                words: name.replace('-', " "),
                finish: finishes::finish(&treatment.finish).ok()?,
                product: Product {
                    is_taken_away: false,
                    price: treatment.price,
                    fitting: treatment.fitting.unwrap_or(0.0),
                    piece_m2: match &treatment.piece {
                        Some(piece) => Some(piece.value().filter(|area| *area > 0.0)?),
                        None => None,
                    },
                    stock: treatment.most.unwrap_or(f64::INFINITY),
                },
                surfaces: places.into_iter().collect(),
                is_priced: true,
            })
        })
        .collect()
}

/// What hangs or lies there already and can be taken away: by the square metre where its area is
/// stated, else piece by piece.
fn hung_there(room: &Room<'_>, free: &[(String, f64)], is_priced: bool) -> Vec<Sold> {
    let of = |covering: &model::Covering| {
        let over = covering.over.as_deref()?;
        let surface = free.iter().position(|(surface, _)| surface == over)?;
        let named = |piece: &&Covered| piece.covering.as_deref() == Some(&covering.id);
        let all_m2 = room.sound.pieces.iter().find(named)?.amount.value();
        let count = f64::from(covering.count.unwrap_or(1));
        let is_cut = covering.area.is_some() && covering.count.is_none();
        let piece_m2 = all_m2 / count.max(1.0);
        let unit_m2 = if is_cut { 1.0 } else { piece_m2 };
        (piece_m2 > 0.0).then_some(())?;
        Some(Sold {
            id: covering.id.clone(),
            words: covering.id.replace('-', " "),
            finish: finishes::finish(&covering.finish).ok()?,
            product: Product {
                is_taken_away: true,
                price: unit_m2 * if is_priced { TAKEN_AWAY } else { 1.0 },
                fitting: 0.0,
                piece_m2: (!is_cut).then_some(piece_m2),
                stock: if is_cut { all_m2 } else { count },
            },
            surfaces: vec![surface],
            is_priced,
        })
    };
    room.space.covering.iter().filter_map(of).collect()
}

/// The cheapest set, and what of it most is spent on; that it is of all that is sold is told.
fn cheapest_set(
    room: &Room<'_>,
    free: &[(String, f64)],
    sold: &[Sold],
    of_all: bool,
) -> Option<(Remedy, usize)> {
    let alpha = |finish: &Finish, band: OctaveBand| {
        Some(finish.absorption[band.index()]?.min(LOG_ALPHA_MOST))
    };
    let bare = |surface: &str, band: OctaveBand| {
        let named = |piece: &&Covered| piece.surface.as_deref() == Some(surface);
        let piece = room.sound.pieces.iter().find(named)?;
        Some(piece.absorbs.alpha(band)?.min(LOG_ALPHA_MOST))
    };
    let mut offers = Vec::new();
    for (index, one) in sold.iter().enumerate() {
        for &surface in &one.surfaces {
            let unit_m2 = one.product.piece_m2.unwrap_or(1.0);
            let gain_m2: Option<Vec<f64>> = (room.judged.iter())
                .map(|octave| {
                    let under = bare(&free[surface].0, octave.band)?;
                    let more = unit_m2 * (alpha(one.finish, octave.band)? - under);
                    Some(if one.product.is_taken_away {
                        -more
                    } else {
                        more
                    })
                })
                .collect();
            if let Some(gain_m2) = gain_m2 {
                offers.push(treatment::Offer {
                    product: index,
                    surface,
                    gain_m2,
                });
            }
        }
    }
    let products: Vec<Product> = sold.iter().map(|one| one.product.clone()).collect();
    let areas: Vec<f64> = free.iter().map(|(_, area)| *area).collect();
    let set = CLEARANCES.into_iter().find_map(|clearance| {
        let bounds: Option<Vec<Bounds>> = (room.judged.iter())
            .map(|octave| bounds(octave, clearance))
            .collect();
        let set = treatment::cheapest(&products, &offers, &areas, &bounds?)?;
        stays_within(room, free, sold, &offers, &set).then_some(set)
    })?;
    let spent = |product: usize| -> f64 {
        let of = offers.iter().zip(&set.units);
        of.filter(|(offer, _)| offer.product == product)
            .map(|(_, units)| units * products[product].price)
            .sum()
    };
    let dearest = (0..sold.len()).max_by(|a, b| spent(*a).total_cmp(&spent(*b)))?;
    let remedy = bought(room, free, sold, &offers, &set);
    let says = match remedy.cost.money {
        Some(money) if of_all && money > 0.0 => {
            format!(
                "{} Nothing that the shop sells does it for less.",
                remedy.says
            )
        }
        _ => remedy.says.clone(),
    };
    Some((Remedy { says, ..remedy }, dearest))
}

/// What an octave lacks and what it bears, so that its time keeps clear of both limits by a
/// share of what is left open of it. `None` where no absorption does.
fn bounds(octave: &Judged<'_>, clearance: f64) -> Option<Bounds> {
    let Judged { here, limits, .. } = octave;
    let open = (clearance * octave.open_share()).min(0.95);
    let has_m2 = here.room.absorption().0;
    let more = |time_s: f64| {
        let alone = Seconds(time_s / here.coupled);
        Some(here.room.absorption_for(alone)?.0 - has_m2)
    };
    let shortest = limits.low.value() / (1.0 - open);
    let longest = limits.high.value() / (1.0 + open);
    let need_m2 = more(longest)?;
    // Where all of its surfaces together leave it longer than that, there is no upper end.
    let most_m2 = more(shortest).unwrap_or(f64::INFINITY);
    (need_m2 <= most_m2).then_some(Bounds { need_m2, most_m2 })
}

/// Whether no octave fails by the room's own law with all of it hung.
fn stays_within(
    room: &Room<'_>,
    free: &[(String, f64)],
    sold: &[Sold],
    offers: &[treatment::Offer],
    set: &Purchase,
) -> bool {
    let (mut hung, mut taken): (Vec<Hung<'_>>, Vec<Taken<'_>>) = (Vec::new(), Vec::new());
    for (offer, units) in offers.iter().zip(&set.units) {
        let one = &sold[offer.product];
        match one.product.is_taken_away {
            true => taken.push((one.id.as_str(), one.area_m2(*units))),
            false => {
                let surface = free[offer.surface].0.as_str();
                hung.push((one.finish, surface, one.area_m2(*units)));
            }
        }
    }
    let Some(times) = room.sound.times_with(&hung, &taken) else {
        return false;
    };
    let is_within = |octave: &Judged<'_>| {
        times[octave.band.index()].is_some_and(|time| octave.spare(time) >= -1e-9)
    };
    room.judged.iter().all(is_within)
}

/// The set as a remedy.
fn bought(
    room: &Room<'_>,
    free: &[(String, f64)],
    sold: &[Sold],
    offers: &[treatment::Offer],
    set: &Purchase,
) -> Remedy {
    let mut changes = Vec::new();
    let used = || offers.iter().zip(&set.units);
    let bared_m2 = |surface: usize| -> f64 {
        let here = used().filter(|(offer, _)| offer.surface == surface);
        let taken = here.filter(|(offer, _)| sold[offer.product].product.is_taken_away);
        taken
            .map(|(offer, units)| sold[offer.product].area_m2(*units))
            .sum()
    };
    for (offer, units) in used() {
        let one = &sold[offer.product];
        let (surface, most_m2) = &free[offer.surface];
        let area_m2 = one.area_m2(*units);
        if area_m2 < 0.01 {
            continue;
        }
        let (change, most_m2) = match (one.product.is_taken_away, one.product.piece_m2) {
            (true, None) => {
                let all_m2 = one.product.stock;
                let id = one.id.clone();
                // A rest that no shop cuts goes too.
                let change = match all_m2 - area_m2 < LEFT_MIN_M2 {
                    true => Change::TakeAway { id, left: 0 },
                    false => Change::Shrink {
                        id,
                        area_m2: all_m2,
                    },
                };
                (change, all_m2)
            }
            (true, Some(_)) => {
                let left = (one.product.stock - units).round().max(0.0);
                let change = Change::TakeAway {
                    id: one.id.clone(),
                    left: left as u32,
                };
                (change, area_m2)
            }
            (false, piece_m2) => {
                let (words, most_m2) = match piece_m2 {
                    // A piece is not cut: its area is what it is.
                    Some(_) => (format!("{units:.0} of {}", one.words), area_m2),
                    None => (one.words.clone(), most_m2 + bared_m2(offer.surface)),
                };
                let change = Change::Add {
                    id: one.id.clone(),
                    finish: one.finish.key,
                    words,
                    surface: surface.clone(),
                };
                (change, most_m2)
            }
        };
        let offer = Offer {
            gain: 0.0,
            most_m2,
            change,
        };
        changes.push((offer, area_m2));
    }
    // What goes is told first: its place may be needed.
    changes.sort_by_key(|(offer, _)| matches!(offer.change, Change::Add { .. }));
    let changes: Vec<(&Offer, f64)> = changes.iter().map(|(offer, area)| (offer, *area)).collect();
    let remedy = remedy(room.analysis, room.space, &changes);
    if !sold.iter().all(|one| one.is_priced) {
        return remedy;
    }
    let taken: f64 = used()
        .map(|(offer, units)| (&sold[offer.product].product, units))
        .filter(|(product, _)| product.is_taken_away)
        .map(|(product, units)| product.price * units)
        .sum();
    let price = (set.price - taken).max(0.0);
    let currency = room.analysis.rates().currency.as_deref();
    let says = match price < 0.005 {
        true => remedy.says.clone(),
        false => format!(
            "{} It costs {}.",
            remedy.says,
            printed(price, currency.unwrap_or_default())
        ),
    };
    let cost = Cost {
        money: Some(price),
        ..Cost::default()
    };
    Remedy { says, ..remedy }.costing(cost)
}

/// A price as all others are printed.
fn printed(price: f64, currency: &str) -> String {
    let plain = format!("{price:.2}");
    units::read_money(&plain).map_or(plain, |read| units::print_money(read.amount, currency))
}

/// Bare surfaces and the areas that can be covered, m², the largest first. Walls with a
/// picture stay as they are.
fn free_surfaces(room: &Room<'_>) -> Vec<(String, f64)> {
    let shows = |wall: &str| {
        let mut pictures = room.analysis.pictures_in(room.space);
        pictures.any(|item| item.on.as_ref().is_some_and(|on| on.wall == wall))
    };
    let mut free: Vec<(String, f64)> = (room.sound.pieces.iter())
        .filter_map(|piece| {
            let surface = piece.surface.clone()?;
            let share = match surface.as_str() {
                "floor" => 1.0,
                _ => COVERED_MOST,
            };
            Some((surface, share * piece.amount.value()))
        })
        .filter(|(surface, area_m2)| {
            let is_under = |covering: &model::Covering| covering.over.as_ref() == Some(surface);
            let can_be_bared = room.space.covering.iter().any(is_under);
            !shows(surface) && (*area_m2 > 0.1 || can_be_bared)
        })
        .collect();
    free.sort_by(|a, b| b.1.total_cmp(&a.1));
    free
}

#[cfg(test)]
mod tests {
    use super::printed;

    #[test]
    fn a_price_parts_its_thousands() {
        assert_eq!(printed(999.5, "USD"), "999.50\u{202F}USD");
        assert_eq!(printed(1227.84, "USD"), "1,227.84\u{202F}USD");
        assert_eq!(printed(1227.84, ""), "1,227.84");
    }
}
