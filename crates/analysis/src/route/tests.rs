//! What a cable is made of is no reason to look for its way again.

use std::sync::Arc;

use model::{Cable, Edit};

use crate::{Analysis, Reads};

const JOB: &str = r#"
format = 1
[job]
name = "Wires"
[[kit.cable]]
id = "thin"
carries = "line"
diameter = "5 mm"
[[kit.cable]]
id = "thick"
carries = "line"
diameter = "9 mm"
[[kit.device]]
id = "box"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
[[item]]
id = "a"
is = "box"
[[item]]
id = "b"
is = "box"
[[item]]
id = "c"
is = "box"
[[cable]]
id = "W1"
kind = "thin"
from = "a"
to = "b"
slack = "0 %"
legs = [{ along = "attic", length = "12 m" }]
[[cable]]
id = "W2"
kind = "thin"
from = "a"
to = "b"
legs = [{ along = "attic", length = "12 m" }]
[[pathway]]
id = "pipe"
kind = "conduit"
inside = "16 mm"
holds = ["W2"]
ends = [
  { space = "den", on = { wall = "north", from_left = "1 m", height = "0.3 m" } },
  { space = "den", on = { wall = "south", from_left = "1 m", height = "0.3 m" } },
]
"#;

fn touched(question: impl Fn(&Analysis, &Cable)) -> impl Fn(&str, &str) -> bool {
    let analysis = Analysis::new(Arc::new(model::read(JOB, &[]).expect("the job reads")));
    let cable = analysis.cable("W1").expect("it is there");
    let ((), reads): ((), Reads) = analysis.noting(|| question(&analysis, cable));
    move |at, to| {
        let copy = analysis.edited(&[Edit::set(at, to)]);
        reads.touched_by(copy.expect("the edit can be made").changed())
    }
}

#[test]
fn a_way_rests_on_where_a_cable_runs() {
    let route = touched(|analysis, cable| assert!(analysis.route(cable).is_ok()));
    let cut = touched(|analysis, cable| assert!(analysis.cut(cable).is_ok()));
    for (at, to, is_about_the_run) in [
        ("cable.W1.kind", "thick", false),
        ("cable.W1.length", "20 m", false),
        ("cable.W2.to", "c", false),
        ("cable.W1.to", "c", true),
        ("cable.W1.way", "direct", true),
        ("cable.W1.slack", "20 %", true),
        ("cable.W1.service_loop", "1 m", true),
        ("cable.W1.existing", "old-plate", true),
    ] {
        assert_eq!(route(at, to), is_about_the_run, "{at}");
        assert_eq!(cut(at, to), is_about_the_run, "{at}");
    }
}

#[test]
fn whether_a_conduit_takes_a_cable_rests_on_its_kind() {
    let fill = touched(|analysis, cable| {
        let pathway = &analysis.pathways()[0];
        assert!(!analysis.is_overfull(pathway, cable));
    });
    assert!(fill("cable.W1.kind", "thick") && fill("cable.W2.kind", "thick"));
    assert!(fill("kit.cable.thin.diameter", "7 mm"));
}
