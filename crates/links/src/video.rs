//! What rate does a picture need, and does a link carry it?
//!
//! ```text
//! TMDS  f = pclk bpc/8 (4:4:4)   pclk (4:2:2)   pclk bpc/16 (4:2:0)    link = 30 f
//! FRL   upper = pclk bpp 18/16   lower = active pixel rate bpp 18/16
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | pclk | pixel clock with blanking | Hz |
//! | bpc | bits per component: 8, 10, 12 or 16 | bit |
//! | bpp | bits per pixel: 3 bpc, 24 (4:2:2), 1.5 bpc (4:2:0) | bit |
//! | f | character rate of each of three lanes | Hz |
//!
//! The fixed-rate link (FRL) is bounded, not modelled: error correction, audio
//! and packets add to the lower bound, and its own flow metering takes blanking
//! from the upper one. Between the bounds the verdict is [`Carriage::Tight`].

use units::{BitsPerSecond, Hertz};

use crate::timing::Timing;
use units::guard::positive;

/// How colour is sampled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chroma {
    /// Full colour, or RGB.
    C444,
    /// Half colour across, up to 12 bit in a 24-bit container.
    C422,
    /// Half colour both ways.
    C420,
}

/// A picture as it is sent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Format {
    /// Raster and clock.
    pub timing: Timing,
    /// Colour sampling.
    pub chroma: Chroma,
    /// Bits per component.
    pub bits_per_component: u32,
}

/// Highest character rate of TMDS by version: 1.0, 1.4 (10.2 Gbit/s), 2.0 (18 Gbit/s); above
/// 340 MHz scrambled (confirmed in kernel source).
pub const TMDS_LIMITS: [Hertz; 3] = [Hertz(165e6), Hertz(340e6), Hertz(600e6)];
/// Link rates of FRL: 3 lanes of 3 and 6, 4 lanes of 6, 8, 10 and 12 Gbit/s (confirmed in a
/// magazine page and a kernel header).
pub const FRL_RATES: [BitsPerSecond; 6] = [
    BitsPerSecond(9e9),
    BitsPerSecond(18e9),
    BitsPerSecond(24e9),
    BitsPerSecond(32e9),
    BitsPerSecond(40e9),
    BitsPerSecond(48e9),
];
/// Bits on three lanes for each character period.
const TMDS_BITS_PER_CHARACTER: f64 = 30.0;
/// Bits on the wire for 16 bits sent over FRL.
const FRL_EXPANSION: f64 = 18.0 / 16.0;

/// A link between two ports, by the weakest part on its path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Link {
    /// TMDS up to this character rate.
    Tmds(Hertz),
    /// FRL at this link rate.
    Frl(BitsPerSecond),
}

/// Whether a link carries a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carriage {
    /// Even the upper bound of the need is carried.
    Fits,
    /// The need lies between its bounds on both sides of the rate.
    Tight,
    /// Not even the lower bound is carried: fewer bits, less colour, fewer frames or compression.
    Fails,
}

impl Format {
    fn bits(&self) -> Option<f64> {
        let b = self.bits_per_component;
        let allowed = match self.chroma {
            Chroma::C422 => matches!(b, 8 | 10 | 12),
            Chroma::C444 | Chroma::C420 => matches!(b, 8 | 10 | 12 | 16),
        };
        allowed.then_some(f64::from(b))
    }

    /// Bits per pixel in the stream; `None` for a depth the sampling does not have.
    pub fn bits_per_pixel(&self) -> Option<f64> {
        let bpc = self.bits()?;
        Some(match self.chroma {
            Chroma::C444 => 3.0 * bpc,
            Chroma::C422 => 24.0,
            Chroma::C420 => 1.5 * bpc,
        })
    }

    /// TMDS character rate.
    pub fn tmds_character_rate(&self) -> Option<Hertz> {
        let pclk = positive(self.timing.pixel_clock.0)?;
        Some(Hertz(pclk * self.bits_per_pixel()? / 24.0))
    }

    /// TMDS link rate over three lanes.
    pub fn tmds_link_rate(&self) -> Option<BitsPerSecond> {
        Some(BitsPerSecond(
            self.tmds_character_rate()?.0 * TMDS_BITS_PER_CHARACTER,
        ))
    }

    /// The lowest of these character-rate limits (ascending) that TMDS keeps to.
    pub fn tmds_limit_met(&self, limits: &[Hertz]) -> Option<Hertz> {
        let rate = self.tmds_character_rate()?;
        limits.iter().copied().find(|limit| rate <= *limit)
    }

    /// Upper bound of the FRL rate: blanking sent whole.
    pub fn frl_upper(&self) -> Option<BitsPerSecond> {
        let pclk = positive(self.timing.pixel_clock.0)?;
        Some(BitsPerSecond(pclk * self.bits_per_pixel()? * FRL_EXPANSION))
    }

    /// Lower bound of the FRL rate: active pixels only, before audio, packets and error correction.
    pub fn frl_lower(&self) -> Option<BitsPerSecond> {
        let active = positive(self.timing.active_pixel_rate().0)?;
        Some(BitsPerSecond(
            active * self.bits_per_pixel()? * FRL_EXPANSION,
        ))
    }

    /// Whether this link carries the picture.
    pub fn carriage(&self, link: Link) -> Option<Carriage> {
        match link {
            Link::Tmds(limit) => {
                let fits = self.tmds_character_rate()?.0 <= positive(limit.0)?;
                Some(if fits {
                    Carriage::Fits
                } else {
                    Carriage::Fails
                })
            }
            Link::Frl(rate) => {
                let rate = positive(rate.0)?;
                Some(if self.frl_upper()?.0 <= rate {
                    Carriage::Fits
                } else if self.frl_lower()?.0 > rate {
                    Carriage::Fails
                } else {
                    Carriage::Tight
                })
            }
        }
    }

    /// The part of the rate left over on this link, in its own measure: bits per second of the
    /// TMDS link rate, or of the FRL upper bound; negative is too little.
    pub fn rate_left(&self, link: Link) -> Option<BitsPerSecond> {
        match link {
            Link::Tmds(limit) => Some(
                BitsPerSecond(positive(limit.0)? * TMDS_BITS_PER_CHARACTER)
                    - self.tmds_link_rate()?,
            ),
            Link::Frl(rate) => Some(BitsPerSecond(positive(rate.0)?) - self.frl_upper()?),
        }
    }
}

/// The lowest FRL rate that carries this need; `None` above 48 Gbit/s.
pub fn frl_rate_needed(need: BitsPerSecond) -> Option<BitsPerSecond> {
    positive(need.0)?;
    FRL_RATES.into_iter().find(|rate| need <= *rate)
}

/// Bits that 16b/18b coding leaves of an FRL link rate.
pub fn frl_payload(link: BitsPerSecond) -> Option<BitsPerSecond> {
    Some(BitsPerSecond(positive(link.0)? / FRL_EXPANSION))
}

/// Bits that 8b/10b coding leaves of a TMDS link rate.
pub fn tmds_payload(link: BitsPerSecond) -> Option<BitsPerSecond> {
    Some(BitsPerSecond(positive(link.0)? * 8.0 / 10.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::timing::timing;
    use units::table::{number, rows};

    fn format(vic: u32, chroma: Chroma, bits_per_component: u32) -> Format {
        Format {
            timing: timing(vic).unwrap(),
            chroma,
            bits_per_component,
        }
    }

    #[test]
    fn every_row_of_the_rate_table() {
        let gbit = |rate: BitsPerSecond| rate.0 * 1e-9;
        let or_none = |field: &str| (field != "none").then(|| number(field));
        let mut seen = 0;
        for row in rows(include_str!("video-rates.csv")) {
            let chroma = match row[3] {
                "4:4:4" => Chroma::C444,
                "4:2:2" => Chroma::C422,
                "4:2:0" => Chroma::C420,
                other => panic!("{other}"),
            };
            let format = format(row[0].parse().unwrap(), chroma, row[4].parse().unwrap());
            assert!(
                (format.timing.refresh.0 - number(row[2])).abs() < 0.06,
                "{row:?}"
            );
            let near = |got: f64, field: &str, half_digit: f64| {
                assert!(
                    (got - number(field)).abs() <= half_digit,
                    "{row:?}: {got} for {field}"
                );
            };
            near(
                format.tmds_character_rate().unwrap().0 * 1e-6,
                row[5],
                0.00051,
            );
            near(gbit(format.tmds_link_rate().unwrap()), row[6], 0.000051);
            let limit = format
                .tmds_limit_met(&TMDS_LIMITS)
                .map(|limit| limit.0 * 1e-6);
            // The table starts at 340 MHz.
            assert_eq!(
                limit.map(|limit| limit.max(340.0)),
                or_none(row[7]),
                "{row:?}"
            );
            let (upper, lower) = (format.frl_upper().unwrap(), format.frl_lower().unwrap());
            near(gbit(upper), row[8], 0.000051);
            near(gbit(lower), row[9], 0.000051);
            let needed = |need| frl_rate_needed(need).map(gbit);
            assert_eq!(needed(upper), or_none(row[10]), "{row:?}");
            assert_eq!(needed(lower), or_none(row[11]), "{row:?}");
            seen += 1;
        }
        assert_eq!(seen, 69);
    }

    #[test]
    fn bounds_decide_the_verdict() {
        let fast = format(118, Chroma::C444, 10);
        let frl = |gbit: f64| fast.carriage(Link::Frl(BitsPerSecond(gbit * 1e9)));
        assert_eq!(frl(48.0), Some(Carriage::Fits));
        assert_eq!(frl(40.0), Some(Carriage::Tight));
        assert_eq!(frl(32.0), Some(Carriage::Fails));
        let large = format(199, Chroma::C444, 10);
        assert_eq!(
            large.carriage(Link::Frl(FRL_RATES[5])),
            Some(Carriage::Fails)
        );
    }

    #[test]
    fn tmds_at_its_limit_fits_and_above_fails() {
        let tmds = Link::Tmds(TMDS_LIMITS[2]);
        assert_eq!(
            format(97, Chroma::C444, 8).carriage(tmds),
            Some(Carriage::Fits)
        );
        assert_eq!(
            format(97, Chroma::C444, 10).carriage(tmds),
            Some(Carriage::Fails)
        );
        assert_eq!(
            format(97, Chroma::C420, 10).carriage(tmds),
            Some(Carriage::Fits)
        );
        assert_eq!(
            format(97, Chroma::C422, 12).carriage(tmds),
            Some(Carriage::Fits)
        );
        let left = format(97, Chroma::C444, 8).rate_left(tmds).unwrap();
        assert!((left.0 - 0.18e9).abs() < 1.0);
    }

    #[test]
    fn depth_never_lowers_the_need_and_less_colour_never_raises_it() {
        for timing in crate::timing::timings() {
            let rate = |chroma, bits_per_component| {
                Format {
                    timing: *timing,
                    chroma,
                    bits_per_component,
                }
                .frl_upper()
                .unwrap()
            };
            for chroma in [Chroma::C444, Chroma::C420] {
                assert!(rate(chroma, 8) < rate(chroma, 10) && rate(chroma, 10) < rate(chroma, 12));
            }
            for bits in [8, 10, 12] {
                assert!(rate(Chroma::C420, bits) <= rate(Chroma::C422, bits));
                assert!(rate(Chroma::C422, bits) <= rate(Chroma::C444, bits));
            }
            assert_eq!(rate(Chroma::C422, 8), rate(Chroma::C422, 12));
        }
    }

    #[test]
    fn depths_the_sampling_lacks_give_no_answer() {
        assert_eq!(format(97, Chroma::C422, 16).tmds_character_rate(), None);
        assert_eq!(format(97, Chroma::C444, 9).frl_upper(), None);
        assert_eq!(
            format(97, Chroma::C444, 8).carriage(Link::Frl(BitsPerSecond(0.0))),
            None
        );
        assert_eq!(frl_rate_needed(BitsPerSecond(f64::NAN)), None);
    }
}
