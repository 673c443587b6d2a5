//! Does a sound link carry this sound format?
//!
//! Linear PCM needs `channels · rate · bits`; an IEC 60958 link sends two
//! subframes of 32 bits per sample.

use units::{BitsPerSecond, Hertz};

use units::guard::positive;

/// Linear sound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lpcm {
    /// Channels, 1 to 32.
    pub channels: u32,
    /// Samples per second of each.
    pub sample_rate: Hertz,
    /// Bits per sample, 16 to 24.
    pub bits: u32,
}

impl Lpcm {
    /// Bits per second of the samples; `None` outside the ranges.
    pub fn rate(&self) -> Option<BitsPerSecond> {
        let ranges = (1..=32).contains(&self.channels) && (16..=24).contains(&self.bits);
        let words = ranges.then_some(f64::from(self.channels) * f64::from(self.bits))?;
        Some(BitsPerSecond(words * positive(self.sample_rate.0)?))
    }
}

/// Bits per second of a 2-channel IEC 60958 link at this sample rate.
pub fn iec_60958_rate(sample_rate: Hertz) -> Option<BitsPerSecond> {
    Some(BitsPerSecond(2.0 * 32.0 * positive(sample_rate.0)?))
}

/// Sound as a source sends it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SoundFormat {
    /// Linear samples.
    Linear(Lpcm),
    /// AC-3, up to 5.1 and 640 kbit/s.
    Ac3,
    /// DTS core, up to 5.1 and 1509 kbit/s.
    Dts,
    /// E-AC-3, with or without objects.
    EnhancedAc3,
    /// Any lossless coding, with or without objects.
    Lossless,
}

/// A link that carries sound alone, or sound back from a display.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SoundLink {
    /// Optical or coaxial IEC 60958, IEC 61937 (from memory).
    Digital,
    /// Audio return channel, HDMI 1.4 (from memory).
    ReturnChannel,
    /// Enhanced audio return channel, HDMI 2.1 (from memory): needs it at both ends, and the
    /// Ethernet pair in the cable.
    EnhancedReturnChannel,
}

/// Most a linear stream over eARC takes: 8 channels, 192 kHz, 24 bit.
pub const ENHANCED_RETURN_MAX: Lpcm = Lpcm {
    channels: 8,
    sample_rate: Hertz(192_000.0),
    bits: 24,
};
/// Highest sample rate that optical links and the plain return channel can be counted on for
/// (from memory).
pub const DIGITAL_SAMPLE_RATE_MAX: Hertz = Hertz(48_000.0);

impl SoundLink {
    /// Whether the link carries the format; ends that lack a decoder are not seen here.
    /// `None` for a linear format outside its ranges.
    pub fn carries(self, format: SoundFormat) -> Option<bool> {
        if let SoundFormat::Linear(lpcm) = format {
            let rate = lpcm.rate()?;
            return Some(match self {
                Self::Digital | Self::ReturnChannel => {
                    lpcm.channels <= 2 && lpcm.sample_rate <= DIGITAL_SAMPLE_RATE_MAX
                }
                Self::EnhancedReturnChannel => {
                    lpcm.channels <= ENHANCED_RETURN_MAX.channels
                        && lpcm.sample_rate <= ENHANCED_RETURN_MAX.sample_rate
                        && rate <= ENHANCED_RETURN_MAX.rate()?
                }
            });
        }
        Some(match (self, format) {
            (Self::EnhancedReturnChannel, _) => true,
            (_, SoundFormat::Lossless) => false,
            (Self::Digital, SoundFormat::EnhancedAc3) => false,
            _ => true,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn linear(channels: u32, sample_rate_hz: f64) -> SoundFormat {
        SoundFormat::Linear(Lpcm {
            channels,
            sample_rate: Hertz(sample_rate_hz),
            bits: 24,
        })
    }

    #[test]
    fn six_linear_channels_do_not_fit_a_two_channel_link() {
        for link in [SoundLink::Digital, SoundLink::ReturnChannel] {
            assert_eq!(link.carries(linear(2, 48e3)), Some(true));
            assert_eq!(link.carries(linear(6, 48e3)), Some(false));
            assert_eq!(link.carries(SoundFormat::Ac3), Some(true));
            assert_eq!(link.carries(SoundFormat::Lossless), Some(false));
        }
        let six = Lpcm {
            channels: 6,
            sample_rate: Hertz(48e3),
            bits: 24,
        };
        assert!(six.rate().unwrap() > iec_60958_rate(Hertz(48e3)).unwrap());
    }

    #[test]
    fn return_channels_differ_in_what_they_add() {
        assert_eq!(
            SoundLink::Digital.carries(SoundFormat::EnhancedAc3),
            Some(false)
        );
        assert_eq!(
            SoundLink::ReturnChannel.carries(SoundFormat::EnhancedAc3),
            Some(true)
        );
        let enhanced = SoundLink::EnhancedReturnChannel;
        assert_eq!(enhanced.carries(SoundFormat::Lossless), Some(true));
        assert_eq!(enhanced.carries(linear(8, 192e3)), Some(true));
        assert_eq!(enhanced.carries(linear(10, 48e3)), Some(false));
    }

    #[test]
    fn compressed_formats_fit_the_frame_rate_they_ride_on() {
        let frame = iec_60958_rate(Hertz(48e3)).unwrap().0;
        for highest in [640e3, 1509e3] {
            assert!(highest < frame);
        }
    }

    #[test]
    fn nonsense_gives_no_answer() {
        assert_eq!(SoundLink::Digital.carries(linear(0, 48e3)), None);
        assert_eq!(SoundLink::Digital.carries(linear(2, f64::NAN)), None);
        assert_eq!(iec_60958_rate(Hertz(0.0)), None);
    }
}
