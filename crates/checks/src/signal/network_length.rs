//! Is each network cable short enough?

use analysis::{Analysis, Known, Limit, Parts, Source};
use links::network::FIXED_CABLE_MAX;
use model::{Cable, CableUse, Space};
use units::Dimension;

use crate::runs::kit_of;
use crate::{Area, Check, Finding, Outcome, Published, Run};

static NETWORK_CABLE_MAX: Limit = Limit {
    name: "network_cable_max",
    meaning: "longest network cable in the walls, its cords at both ends not counted",
    dimension: Dimension::Length,
    value: FIXED_CABLE_MAX.0,
    source: Source::FromMemory {
        work: "ANSI/TIA-568: 90 m fixed, 100 m with cords",
    },
    regional: &[],
};

pub(crate) static CHECK: Check = Check {
    id: "network-length",
    area: Area::Signal,
    proves: "Each network cable is no longer than a fixed cable of four pairs may be.",
    matters: "Beyond it a link falls back to a tenth of its rate, or drops out when it is warm.",
    formula: "l ≤ 90 m; l: the cable as it is cut or bought, slack and loops with it, m. With cords of 24 AWG 10 m remain: (102 − 90)/1.2.",
    source: Source::FromMemory {
        work: "ANSI/TIA-568: 90 m fixed, 100 m with cords",
    },
    when_it_fails: "Set a switch on the way, or use fibre.",
    limits: &[&NETWORK_CABLE_MAX],
    published: &[Published {
        cite: "cords of 24 AWG beside 90 m of fixed cable: (102 − 90)/1.2 = 10 m (ANSI/TIA-568, from memory)",
        computed: || {
            links::network::cords_max(FIXED_CABLE_MAX, links::network::CORD_DERATING_24_AWG)
                .map_or(f64::NAN, |cords| cords.0)
        },
        expected: 10.0,
        tolerance: 1e-9, // Computed from whole numbers.
        unit: "m",
    }],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    (analysis.cables_in(space))
        .filter(|cable| kit_of(analysis, cable).is_some_and(|kit| kit.carries == CableUse::Network))
        .map(|cable| CHECK.about_cable(analysis, space, cable, || decide(analysis, cable)))
        .collect()
}

fn decide(analysis: &Analysis, cable: &Cable) -> Known<Outcome> {
    let length = analysis.run_length(cable)?;
    let limit = analysis.limit(&NETWORK_CABLE_MAX);
    let sentence = format!(
        "{} is {} long, and a network cable may be {}.",
        cable.id,
        analysis.length(&length),
        analysis.exact(limit.value, Dimension::Length),
    );
    Ok(Outcome::at_most(length, &limit, Dimension::Length).because(sentence))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::findings;

    fn cable(length: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "switch-n5"
[[kit.cable]]
id = "network-c6"
carries = "network"
[[item]]
id = "switch"
is = "switch-n5"
at = {{ from = ["north", "1 m"], and = ["west", "1 m"] }}
[[item]]
id = "point"
is = "switch-n5"
at = {{ from = ["north", "1 m"], and = ["west", "3 m"] }}
[[cable]]
id = "N1"
kind = "network-c6"
from = "switch"
to = "point"
length = "{length}"
"#
        )
    }

    #[test]
    fn ninety_metres_are_the_most() {
        assert_eq!(findings(&CHECK, &cable("89.9 m"))[0].verdict, Verdict::Fits);
        assert_eq!(
            findings(&CHECK, &cable("90.1 m"))[0].verdict,
            Verdict::Fails
        );
        let coarse = findings(&CHECK, &cable("89 m ± 2 m"));
        assert_eq!(coarse[0].verdict, Verdict::Tight);
    }
}
