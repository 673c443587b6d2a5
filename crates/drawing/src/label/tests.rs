//! Whether labels stand with their own things.

use super::*;

fn label(words: &str, x: f64, y: f64, width: f64, height: f64) -> Label {
    Label {
        to: Bounds::new(point(x, y), point(x + width, y + height)),
        words: words.to_owned(),
        verdict: None,
    }
}

#[test]
fn a_label_lies_on_no_other_thing_where_there_is_room_elsewhere() {
    let mut canvas = Canvas::default();
    // Walls on three sides of the first thing; on the fourth the second one, drawn with thin lines.
    let walls = [
        [(-1.0, -1.0), (40.0, -1.0)],
        [(-1.0, 7.0), (40.0, 7.0)],
        [(-1.0, -1.0), (-1.0, 7.0)],
    ];
    let line = |[(x, y), (u, v)]: [(f64, f64); 2]| Shape::line(point(x, y), point(u, v), Pen::Cut);
    canvas.draw(Role::Thing, walls.map(line).into());
    let other = label("Other", 8.0, 0.0, 6.0, 6.0);
    let outline = other.to.quad().0.to_vec();
    canvas.draw(Role::Thing, vec![Shape::outline(outline, Pen::Thin)]);
    let region = other.to.grown(60.0);
    let body = other.to;
    canvas.place_labels(
        vec![label("Loudspeaker", 0.0, 0.0, 6.0, 6.0), other],
        region,
    );
    let text = canvas
        .texts
        .iter()
        .find(|text| text.content == "Loudspeaker");
    let at = text.expect("there is room for its words").quad().bounds();
    assert!(!at.meets(&body), "{at:?}");
}

#[test]
fn a_label_nearer_to_another_thing_has_a_leader() {
    let mut canvas = Canvas::default();
    let own = label("Own", 0.0, 0.0, 6.0, 6.0);
    canvas.bodies = vec![own.to, Bounds::new(point(10.0, 0.0), point(16.0, 6.0))];
    let below = |x: f64| Bounds::centred(point(x, 9.0), 4.0, 3.0);
    let cost = |x: f64, is_led: bool| canvas.misplaced(&own, below(x), is_led);
    assert_eq!([cost(7.9, false), cost(8.1, false)], [0.0, STRAY_COST]);
    assert_eq!(cost(8.1, true), 0.0);
    // What it stands in is no other thing.
    canvas
        .bodies
        .push(Bounds::new(point(-1.0, -1.0), point(17.0, 20.0)));
    assert_eq!(canvas.misplaced(&own, below(3.0), false), 0.0);
}
