//! Which fact does a column hold, and in which unit?
//!
//! A guess that a person sees and corrects before anything is imported: it is right for the
//! heads that spec sheets use, and says where it only guessed.

use units::{Dimension, read};

use crate::cell::{is_bare, is_blank};
use crate::fact::{Fact, Sort};
use crate::import::Column;
use crate::table::Table;

/// Rows looked at: enough to tell millimetres from inches.
const ROWS_SEEN: usize = 200;
/// Below this a head is left for a person to name.
const SCORE_MIN: u32 = 60;

/// A column for each head of the table, with the fact and unit that it seems to hold. No two
/// columns hold the same fact.
pub fn guess(table: &Table, facts: &[Fact]) -> Vec<Column> {
    let heads: Vec<Head> = table.heads.iter().map(|head| Head::new(head)).collect();
    let mut scored: Vec<(u32, usize, usize)> = Vec::new();
    for (column, head) in heads.iter().enumerate() {
        for (fact, known) in facts.iter().enumerate() {
            scored.push((head.score(known), column, fact));
        }
    }
    scored.retain(|(score, ..)| *score >= SCORE_MIN);
    // The surest first; of equals the leftmost column and the first fact.
    scored.sort_by_key(|(score, column, fact)| (u32::MAX - score, *column, *fact));
    let mut fact_of: Vec<Option<usize>> = vec![None; heads.len()];
    for (_, column, fact) in scored {
        if fact_of[column].is_none() && !fact_of.contains(&Some(fact)) {
            fact_of[column] = Some(fact);
        }
    }
    let fact_of: Vec<Option<&Fact>> = fact_of
        .into_iter()
        .map(|at| at.map(|at| &facts[at]))
        .collect();
    let mut columns: Vec<Column> = (heads.iter().enumerate())
        .map(|(index, head)| column(table, &heads, &fact_of, index, head))
        .collect();
    weigh_as_measured(&mut columns, &fact_of);
    columns
}

fn column(
    table: &Table,
    heads: &[Head],
    fact_of: &[Option<&Fact>],
    index: usize,
    head: &Head,
) -> Column {
    let mut column = Column {
        index,
        fact: fact_of[index].map(|fact| fact.path.clone()),
        unit: None,
        unit_is_guessed: false,
    };
    let Some(Fact {
        sort: Sort::Quantity {
            dimension,
            bare_unit,
        },
        path,
        ..
    }) = fact_of[index]
    else {
        return column;
    };
    if let Some(unit) = head.unit(*dimension) {
        column.unit = Some(unit.to_owned());
        return column;
    }
    if !bare_unit.is_empty() {
        column.unit = (*bare_unit != "1").then(|| (*bare_unit).to_owned());
        return column;
    }
    // Width, height and depth of one thing are written in one unit.
    let family = path.split('.').next().unwrap_or_default();
    let of_family =
        |at: &usize| fact_of[*at].is_some_and(|fact| fact.path.split('.').next() == Some(family));
    let of_family: Vec<usize> = (0..heads.len()).filter(of_family).collect();
    column.unit = (of_family.iter())
        .find_map(|at| heads[*at].unit(*dimension).map(str::to_owned))
        .or_else(|| likely_unit(table, &of_family, family, *dimension));
    column.unit_is_guessed = column.unit.is_some();
    column
}

/// A shop that measures in inches weighs in pounds: the lengths of a table tell more of its
/// masses than their size does.
fn weigh_as_measured(columns: &mut [Column], fact_of: &[Option<&Fact>]) {
    let length_unit = (columns.iter().zip(fact_of))
        .filter(|(_, fact)| fact.is_some_and(|fact| is_of(fact, Dimension::Length)))
        .find_map(|(column, _)| column.unit.clone());
    let Some(length_unit) = length_unit else {
        return;
    };
    let imperial = matches!(length_unit.as_str(), "in" | "ft" | "inch" | "inches" | "\"");
    for (column, fact) in columns.iter_mut().zip(fact_of) {
        if column.unit_is_guessed && fact.is_some_and(|fact| is_of(fact, Dimension::Mass)) {
            column.unit = Some(if imperial { "lb" } else { "kg" }.to_owned());
        }
    }
}

fn is_of(fact: &Fact, of: Dimension) -> bool {
    matches!(&fact.sort, Sort::Quantity { dimension, .. } if *dimension == of)
}

/// The unit in which the bare numbers of some columns are most like the fact's usual size; none
/// where cells say their own.
fn likely_unit(
    table: &Table,
    columns: &[usize],
    family: &str,
    dimension: Dimension,
) -> Option<String> {
    let cells = (table.rows.iter().take(ROWS_SEEN))
        .flat_map(|row| columns.iter().map(|at| row.cells[*at].as_str()))
        .filter(|cell| !is_blank(cell) && is_bare(cell));
    let cells: Vec<&str> = cells.collect();
    let [low, high] = usual(family, dimension)?;
    let distance = |unit: &str| {
        let mut logs: Vec<f64> = (cells.iter())
            .filter_map(|cell| read(&format!("{cell} {unit}"), dimension).ok()?.value)
            .filter(|value| *value > 0.0)
            .map(f64::ln)
            .collect();
        logs.sort_by(f64::total_cmp);
        let median = *logs.get(logs.len() / 2)?;
        Some((median - (low.ln() + high.ln()) / 2.0).abs())
    };
    (units_of(dimension).iter())
        .filter_map(|unit| Some((distance(unit)?, *unit)))
        .min_by(|(one, _), (other, _)| one.total_cmp(other))
        .map(|(_, unit)| unit.to_owned())
}

/// Units to choose from where the head names none.
fn units_of(dimension: Dimension) -> &'static [&'static str] {
    match dimension {
        Dimension::Length => &["mm", "cm", "in", "m", "ft"],
        Dimension::Mass => &["kg", "lb", "g", "oz"],
        Dimension::Temperature => &["°C", "°F"],
        Dimension::DataRate => &["Gbit/s", "Mbit/s"],
        Dimension::WireArea => &["AWG", "mm²"],
        Dimension::Area => &["m²", "ft²"],
        _ => &[],
    }
}

/// Between which values, SI, a fact of kit usually lies; common practice, no source.
fn usual(family: &str, dimension: Dimension) -> Option<[f64; 2]> {
    Some(match (dimension, family) {
        (Dimension::Length, "diagonal" | "picture_width") => [0.6, 5.0],
        (Dimension::Length, "diameter") => [0.002, 0.02],
        (Dimension::Length, "screw_diameter") => [0.003, 0.02],
        (Dimension::Length, "lens_diameter" | "frame" | "thread_in_wood" | "heel") => [0.02, 0.15],
        (Dimension::Length, "size" | "cutout" | "holes") => [0.06, 1.5],
        (Dimension::Length, _) => [0.03, 1.0],
        (Dimension::Mass, _) => [0.3, 60.0],
        // °C as such; 25 to 60 °C is what kit is rated to.
        (Dimension::Temperature, _) => [25.0, 60.0],
        (Dimension::DataRate, _) => [1e9, 1e11],
        (Dimension::WireArea, _) => [0.5e-6, 6e-6],
        (Dimension::Area, _) => [0.002, 0.2],
        _ => return None,
    })
}

/// A column's head, taken apart.
struct Head {
    /// Its words without the unit.
    name: String,
    /// What may be a unit, most likely first.
    units: Vec<String>,
}

impl Head {
    fn new(head: &str) -> Self {
        let mut name = String::new();
        let mut units = Vec::new();
        let mut rest = head;
        while let Some(open) = rest.find(['(', '[']) {
            let close = rest[open..]
                .find([')', ']'])
                .map_or(rest.len(), |at| open + at);
            name += &rest[..open];
            name.push(' ');
            let inside = rest[open + 1..close].trim();
            units.push(inside.to_owned());
            // What is no unit says more about the fact: "throw (min)".
            if read(&format!("1 {inside}"), Dimension::Length).is_err() {
                name += inside;
                name.push(' ');
            }
            rest = rest.get(close + 1..).unwrap_or_default();
        }
        name += rest;
        // "Width, mm", "Weight in kg", "Depth mm".
        // A head of one word names the fact, though "watts" is a unit too.
        let between = |letter: char| matches!(letter, ' ' | ',' | '/' | '_');
        let words = name.split(between).filter(|word| !word.is_empty()).skip(1);
        if let Some(last) = words.last() {
            units.push(last.to_owned());
        }
        Self {
            name: normal(&name),
            units,
        }
    }

    fn unit(&self, dimension: Dimension) -> Option<&str> {
        (self.units.iter())
            .find(|unit| {
                !unit.is_empty()
                    && unit.parse::<f64>().is_err()
                    && read(&format!("1 {unit}"), dimension).is_ok_and(|read| read.value.is_some())
            })
            .map(String::as_str)
    }

    /// 0 to 100: how surely this head means the fact.
    fn score(&self, fact: &Fact) -> u32 {
        // Without a unit at its end, so that "weight kg" is "weight".
        let bare = match (&fact.sort, self.name.rsplit_once(' ')) {
            (Sort::Quantity { dimension, .. }, Some((name, _)))
                if self.unit(*dimension).is_some() =>
            {
                name.trim_end_matches(" in")
            }
            _ => &self.name,
        };
        let label = normal(&fact.label);
        let path = normal(&fact.path);
        if [self.name.as_str(), bare]
            .iter()
            .any(|name| *name == label || *name == path)
        {
            return 100;
        }
        let called = |name: &str| other_names(&fact.path).contains(&name);
        if called(&self.name) || called(bare) {
            return 90;
        }
        let nearness = strsim::jaro_winkler(bare, &label);
        if nearness > 0.93 {
            return 80;
        }
        let holds = |word: &str| bare.split(' ').any(|one| one == word);
        if label.len() > 3 && label.split(' ').all(holds) {
            return 70;
        }
        0
    }
}

/// What else spec sheets and price lists call a fact; trade words, common practice.
fn other_names(path: &str) -> &'static [&'static str] {
    match path {
        "id" => &[
            "code",
            "part number",
            "part no",
            "article",
            "article number",
            "item number",
            "ref",
        ],
        "name" => &["product", "product name", "description", "title", "item"],
        "size.0" => &["width", "w", "overall width", "product width", "case width"],
        "size.1" => &[
            "height",
            "h",
            "overall height",
            "product height",
            "case height",
        ],
        "size.2" => &["depth", "d", "overall depth", "product depth", "case depth"],
        "mass" => &["weight", "net weight", "product weight"],
        "watts" => &[
            "power consumption",
            "consumption",
            "mains power",
            "max power consumption",
        ],
        "heat" => &["heat output", "dissipation", "heat dissipation"],
        "rated_to" => &[
            "max temperature",
            "operating temperature",
            "max operating temperature",
            "ambient max",
        ],
        "read_from" => &["source", "spec sheet", "where read"],
        "aspect" => &["aspect ratio", "format"],
        "diagonal" => &[
            "screen size",
            "picture diagonal",
            "display size",
            "image diagonal",
        ],
        "picture_width" => &["image width", "viewable width", "visible width"],
        "frame" => &["frame width", "border", "bezel"],
        "throw.0" => &[
            "throw ratio min",
            "throw min",
            "min throw ratio",
            "throw ratio wide",
        ],
        "throw.1" => &[
            "throw ratio max",
            "throw max",
            "max throw ratio",
            "throw ratio tele",
        ],
        "lumens" => &[
            "light output",
            "brightness",
            "luminous flux",
            "ansi lumens",
            "iso lumens",
        ],
        "native_contrast" => &["contrast", "contrast ratio"],
        "resolution.0" => &[
            "horizontal pixels",
            "pixels across",
            "horizontal resolution",
        ],
        "resolution.1" => &["vertical pixels", "pixels down", "vertical resolution"],
        "shift.up" => &["vertical shift", "lens shift vertical", "v shift"],
        "shift.across" => &["horizontal shift", "lens shift horizontal", "h shift"],
        "luminance" => &["brightness", "peak brightness", "nits"],
        "video_rate" => &["bandwidth", "video bandwidth", "max data rate"],
        "data_rate" => &["bandwidth", "max data rate", "rate"],
        "protection" => &["hdcp", "copy protection"],
        "carries" => &[
            "max load",
            "load",
            "load capacity",
            "capacity",
            "for",
            "use",
            "signal",
        ],
        "standoff" => &["distance from wall", "min distance from wall", "profile"],
        "reach" => &[
            "extension",
            "max extension",
            "max length",
            "max distance from wall",
        ],
        "tilt_down" => &["tilt"],
        "form" => &["type", "style", "fitting", "mounting"],
        "sensitivity" => &["efficiency", "spl 1w 1m", "sensitivity 2 83v 1m"],
        "impedance" => &["nominal impedance", "ohms"],
        "impedance_min" => &["minimum impedance", "min impedance"],
        "power_max" => &["power handling", "rated power", "max power", "handling"],
        "power_peak" => &["peak power", "peak power handling", "power peak"],
        "level_max" => &["max spl", "maximum spl", "continuous spl"],
        "level_peak" => &["peak spl", "max peak spl", "maximum peak spl"],
        "coverage" => &["dispersion", "coverage angle", "nominal coverage"],
        "plays_from" => &["low frequency", "frequency from", "lower limit", "f3"],
        "cutout.0" => &[
            "cut out width",
            "cut out across",
            "cutout width",
            "hole width",
        ],
        "cutout.1" => &[
            "cut out height",
            "cut out up",
            "cutout height",
            "hole height",
        ],
        "depth_behind" => &[
            "mounting depth",
            "in wall depth",
            "depth in wall",
            "build in depth",
        ],
        "power" => &["power per channel", "rated power", "output power"],
        "into" => &["rated load", "load"],
        "load_min" => &["minimum load", "min load", "minimum impedance"],
        "conductor" => &["gauge", "awg", "cross section", "wire size"],
        "conductors" => &["cores", "number of cores"],
        "price_per_metre" => &["price", "price m", "cost per metre"],
        _ => &[],
    }
}

/// Lower-case words of letters and digits, one space between.
fn normal(text: &str) -> String {
    let mut normal = String::new();
    for part in text.split(|letter: char| !letter.is_alphanumeric()) {
        if !part.is_empty() {
            if !normal.is_empty() {
                normal.push(' ');
            }
            normal += &part.to_lowercase();
        }
    }
    normal
}
