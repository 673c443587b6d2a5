//! Is the house on the globe, is money named as banks name it, and does glass let through no more
//! than all light?

use super::Sense;
use crate::Angle;
use crate::read::shown;

impl Sense<'_> {
    pub(super) fn site(&mut self) {
        let Some(site) = &self.job.site else {
            return;
        };
        self.on_globe(
            "site.latitude",
            site.latitude.as_ref(),
            90.0,
            "south",
            "north",
        );
        self.on_globe(
            "site.longitude",
            site.longitude.as_ref(),
            180.0,
            "west",
            "east",
        );
    }

    /// ISO 4217: three capital letters.
    pub(super) fn currency(&mut self) {
        let currency = self.job.rates.currency.as_ref();
        let is_code =
            |text: &String| text.len() == 3 && text.bytes().all(|byte| byte.is_ascii_uppercase());
        if let Some(currency) = currency.filter(|text| !is_code(text)) {
            self.found.report(
                "rates.currency",
                format!("`{}` is no currency's code", shown(currency)),
                "three capital letters as banks write them, such as `EUR` or `USD`",
            );
        }
    }

    fn on_globe(
        &mut self,
        at: &str,
        angle: Option<&Angle>,
        most_degrees: f64,
        below: &str,
        above: &str,
    ) {
        let Some((angle, value)) = angle.and_then(|angle| Some((angle, angle.value()?))) else {
            return;
        };
        if value.to_degrees().abs() > most_degrees + 1e-9 {
            self.found.report(
                at,
                format!("{} is off the globe", shown(angle.text())),
                format!(
                    "from −{most_degrees}° ({below}) to {most_degrees}° ({above}), such as `59.9 deg`"
                ),
            );
        }
    }

    /// Shares of light that glass and blinds let through.
    pub(super) fn glass(&mut self) {
        for space in &self.job.space {
            for opening in &space.opening {
                let share = (opening.transmittance.as_ref())
                    .and_then(|share| Some((share, share.value()?)));
                if let Some((share, value)) = share
                    && !(0.0..=1.0).contains(&value)
                {
                    self.found.report(
                        format!("space.{}.opening.{}.transmittance", space.id, opening.id),
                        format!("{} is no share of the light", shown(share.text())),
                        "from 0 to 1, such as `0.4` or `40 %`",
                    );
                }
            }
        }
    }
}
