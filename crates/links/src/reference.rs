//! Which published values does this crate reproduce?
//!
//! Each entry names the place and how well the value is known: `confirmed` was
//! read at the place, `computed` follows from the formula named, `from memory`
//! is recalled and not seen again.

use units::{BitsPerSecond, Hertz, Metres, Reference, Watts};

use crate::network::{CORD_DERATING_24_AWG, CORD_DERATING_26_AWG, cords_max, power_class_for};
use crate::sound::{ENHANCED_RETURN_MAX, Lpcm, iec_60958_rate};
use crate::timing::timing;
use crate::video::{Chroma, FRL_RATES, Format, frl_payload, tmds_payload};

/// The values, in the order of the modules they test.
pub fn references() -> Vec<Reference> {
    vec![
        Reference {
            cite: "CTA-861 VIC 97, 2160p60: pixel clock (confirmed in kernel source)",
            computed: || known(timing(97).map(|timing| timing.pixel_clock.0 * 1e-6)),
            expected: 594.0,
            tolerance: 0.001,
            unit: "MHz",
        },
        Reference {
            cite: "CTA-861 VIC 118, 2160p120: pixel clock (confirmed in kernel patch text)",
            computed: || known(timing(118).map(|timing| timing.pixel_clock.0 * 1e-6)),
            expected: 1188.0,
            tolerance: 0.001,
            unit: "MHz",
        },
        Reference {
            cite: "pclk 8/8: 2160p60 4:4:4 8 bit, TMDS character rate (computed)",
            computed: || character_mhz(97, Chroma::C444, 8),
            expected: 594.0,
            tolerance: 0.001,
            unit: "MHz",
        },
        Reference {
            cite: "30 bit per character: 2160p60 4:4:4 8 bit, TMDS link rate (computed)",
            computed: || tmds_gbit(97, Chroma::C444, 8),
            expected: 17.82,
            tolerance: 0.001,
            unit: "Gbit/s",
        },
        Reference {
            cite: "pclk 10/8: 2160p60 4:4:4 10 bit, over the 600 limit (computed)",
            computed: || character_mhz(97, Chroma::C444, 10),
            expected: 742.5,
            tolerance: 0.001,
            unit: "MHz",
        },
        Reference {
            cite: "pclk 10/16: 2160p60 4:2:0 10 bit, TMDS character rate (computed)",
            computed: || character_mhz(97, Chroma::C420, 10),
            expected: 371.25,
            tolerance: 0.001,
            unit: "MHz",
        },
        Reference {
            cite: "pclk: 2160p60 4:2:2 12 bit, TMDS character rate (computed)",
            computed: || character_mhz(97, Chroma::C422, 12),
            expected: 594.0,
            tolerance: 0.001,
            unit: "MHz",
        },
        Reference {
            cite: "pclk 30 18/16: 2160p120 4:4:4 10 bit, FRL upper bound (computed)",
            computed: || frl_gbit(118, Chroma::C444, 10, Format::frl_upper),
            expected: 40.095,
            tolerance: 0.001,
            unit: "Gbit/s",
        },
        Reference {
            cite: "active 30 18/16: 2160p120 4:4:4 10 bit, FRL lower bound (computed)",
            computed: || frl_gbit(118, Chroma::C444, 10, Format::frl_lower),
            expected: 33.5923,
            tolerance: 0.001,
            unit: "Gbit/s",
        },
        Reference {
            cite: "pclk 30 18/16: 4320p60 4:4:4 10 bit, FRL upper bound (computed)",
            computed: || frl_gbit(199, Chroma::C444, 10, Format::frl_upper),
            expected: 80.19,
            tolerance: 0.001,
            unit: "Gbit/s",
        },
        Reference {
            cite: "active 30 18/16: 4320p60 4:4:4 10 bit, FRL lower bound (computed)",
            computed: || frl_gbit(199, Chroma::C444, 10, Format::frl_lower),
            expected: 67.1846,
            tolerance: 0.001,
            unit: "Gbit/s",
        },
        Reference {
            cite: "16b/18b: 48 Gbit/s FRL payload (computed)",
            computed: || known(frl_payload(FRL_RATES[5]).map(gbit)),
            expected: 42.6667,
            tolerance: 0.01,
            unit: "Gbit/s",
        },
        Reference {
            cite: "8b/10b: 18 Gbit/s TMDS payload (computed)",
            computed: || known(tmds_payload(BitsPerSecond(18e9)).map(gbit)),
            expected: 14.4,
            tolerance: 0.001,
            unit: "Gbit/s",
        },
        Reference {
            cite: "channels rate bits: 8 channels, 192 kHz, 24 bit, the eARC ceiling (computed)",
            computed: || known(ENHANCED_RETURN_MAX.rate().map(mbit)),
            expected: 36.864,
            tolerance: 0.001,
            unit: "Mbit/s",
        },
        Reference {
            cite: "IEC 60958, two 32-bit subframes: 48 kHz (computed)",
            computed: || known(iec_60958_rate(Hertz(48e3)).map(mbit)),
            expected: 3.072,
            tolerance: 0.001,
            unit: "Mbit/s",
        },
        Reference {
            cite: "channels rate bits: 6 channels, 48 kHz, 24 bit, over the 3.072 of a 2-channel link (computed)",
            computed: || {
                known(
                    Lpcm {
                        channels: 6,
                        sample_rate: Hertz(48e3),
                        bits: 24,
                    }
                    .rate()
                    .map(mbit),
                )
            },
            expected: 6.912,
            tolerance: 0.001,
            unit: "Mbit/s",
        },
        Reference {
            cite: "ANSI/TIA-568, (102-H)/(1+D): cords beside 90 m, 24 AWG (from memory)",
            computed: || known(cords_max(Metres(90.0), CORD_DERATING_24_AWG).map(|c| c.0)),
            expected: 10.0,
            tolerance: 0.01,
            unit: "m",
        },
        Reference {
            cite: "ANSI/TIA-568, (102-H)/(1+D): cords beside 90 m, 26 AWG (from memory)",
            computed: || known(cords_max(Metres(90.0), CORD_DERATING_26_AWG).map(|c| c.0)),
            expected: 8.0,
            tolerance: 0.01,
            unit: "m",
        },
        Reference {
            cite: "IEEE 802.3 clause 33: class 4, 600 mA squared in 12.5 ohm (confirmed)",
            computed: || channel_loss_w(25.5),
            expected: 4.5,
            tolerance: 0.01,
            unit: "W",
        },
        Reference {
            cite: "IEEE 802.3 clause 33: class 3, 350 mA squared in 20 ohm (computed)",
            computed: || channel_loss_w(12.95),
            expected: 2.45,
            tolerance: 0.01,
            unit: "W",
        },
        Reference {
            cite: "IEEE 802.3 clause 145: class 8, power a source offers a 71.3 W device (confirmed)",
            computed: || known(power_class_for(Watts(71.3)).map(|class| class.source.0)),
            expected: 90.0,
            tolerance: 0.01,
            unit: "W",
        },
    ]
}

/// Answers of the crate that may be missing, as a number that then fails its reference.
fn known(answer: Option<f64>) -> f64 {
    answer.unwrap_or(f64::NAN)
}

fn gbit(rate: BitsPerSecond) -> f64 {
    rate.0 * 1e-9
}

fn mbit(rate: BitsPerSecond) -> f64 {
    rate.0 * 1e-6
}

fn format(vic: u32, chroma: Chroma, bits_per_component: u32) -> Option<Format> {
    Some(Format {
        timing: timing(vic)?,
        chroma,
        bits_per_component,
    })
}

fn character_mhz(vic: u32, chroma: Chroma, bits: u32) -> f64 {
    known(format(vic, chroma, bits).and_then(|f| Some(f.tmds_character_rate()?.0 * 1e-6)))
}

fn tmds_gbit(vic: u32, chroma: Chroma, bits: u32) -> f64 {
    known(
        format(vic, chroma, bits)
            .and_then(|f| f.tmds_link_rate())
            .map(gbit),
    )
}

fn frl_gbit(
    vic: u32,
    chroma: Chroma,
    bits: u32,
    bound: fn(&Format) -> Option<BitsPerSecond>,
) -> f64 {
    known(format(vic, chroma, bits).and_then(|f| bound(&f)).map(gbit))
}

fn channel_loss_w(device_w: f64) -> f64 {
    known(power_class_for(Watts(device_w)).map(|class| class.channel_loss_max().0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_is_met() {
        let references = references();
        assert!(references.len() >= 15);
        for r in references {
            let got = (r.computed)();
            let off = (got - r.expected).abs();
            // Written so that a missing answer (not a number) fails too.
            assert!(
                off <= r.tolerance,
                "{}: {got} {}, expected {} ± {}",
                r.cite,
                r.unit,
                r.expected,
                r.tolerance
            );
            let marked = ["(confirmed", "(computed", "(from memory"]
                .iter()
                .any(|mark| r.cite.contains(mark));
            assert!(marked, "{} has no mark", r.cite);
        }
    }
}
