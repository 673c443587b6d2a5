//! What hangs on each mains circuit, of what it may carry for hours.

use analysis::{Analysis, item_label};

use crate::power::{Loaded, items_on, watts_of, with_circuits};

/// A mains circuit and its load.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitTold {
    /// The circuit's id.
    pub circuit: String,
    /// What is on it, what was there already first.
    pub parts: Vec<CircuitPart>,
    /// What it may carry for hours, W; none where breaker or mains are not known.
    pub most_w: Option<f64>,
    /// What is not known.
    pub missing: Option<String>,
}

/// A part of a circuit's load.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitPart {
    /// The item; none for what was there already.
    pub item: Option<String>,
    /// Its name.
    pub label: String,
    /// Its power, all of its kind together, W; none where no sheet states it.
    pub watts: Option<f64>,
}

impl CircuitTold {
    /// All that is known to be on it, W.
    pub fn load_w(&self) -> f64 {
        self.parts.iter().filter_map(|part| part.watts).sum()
    }
}

/// Every circuit, in the order of the job.
pub fn circuits_told(analysis: &Analysis) -> Vec<CircuitTold> {
    let all = with_circuits(analysis);
    (analysis.circuits().iter())
        .map(|circuit| {
            let items = items_on(analysis, circuit, &all);
            let existing = analysis.number(circuit.existing.as_ref());
            let there = CircuitPart {
                item: None,
                label: "what is there already".to_owned(),
                watts: existing.map(|watts| watts.value()),
            };
            let parts = items.iter().map(|item| CircuitPart {
                item: Some(item.id.clone()),
                label: item_label(item).to_owned(),
                watts: watts_of(analysis, item).ok().map(|watts| watts.value()),
            });
            let loaded = Loaded::of(analysis, circuit, &items);
            // Whatever is not known of the load, the circuit's own facts may still say what it carries.
            let bare = Loaded::at_least(analysis, circuit, &[]);
            CircuitTold {
                circuit: circuit.id.clone(),
                parts: std::iter::once(there).chain(parts).collect(),
                most_w: (bare.ok())
                    .map(|bare| bare.capacity().value())
                    .filter(|most| most.is_finite()),
                missing: loaded.err().map(|missing| missing.to_string()),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use analysis::Analysis;

    use super::*;
    use crate::testing::{ROOM, job};

    const HOUSE: &str = r#"
        [site]
        mains = { voltage = 120, frequency = 60 }
        [[circuit]]
        id = "C1"
        breaker = "15 A"
        existing = "200 W"
        [[kit.device]]
        id = "heater-d1"
        WATTS
        [[item]]
        id = "one"
        is = "heater-d1"
        count = 2
        circuit = "C1"
    "#;

    #[test]
    fn parts_add_up_and_stand_against_what_lasts() {
        let text = format!("{ROOM}{}", HOUSE.replace("WATTS", "watts = 300"));
        let told = circuits_told(&Analysis::new(job(&text)));
        // 15 A × 120 V × 80 % = 1440 W; 200 + 2 × 300 = 800 W.
        assert!((told[0].most_w.unwrap() - 1440.0).abs() < 1e-9);
        assert!((told[0].load_w() - 800.0).abs() < 1e-9);
        assert_eq!(told[0].missing, None);
    }

    #[test]
    fn what_no_sheet_states_is_named_and_the_limit_stays() {
        let text = format!("{ROOM}{}", HOUSE.replace("WATTS", ""));
        let told = circuits_told(&Analysis::new(job(&text)));
        assert!(told[0].missing.as_ref().unwrap().contains("mains power"));
        assert!((told[0].most_w.unwrap() - 1440.0).abs() < 1e-9);
        assert_eq!(told[0].parts[1].watts, None);
    }
}
