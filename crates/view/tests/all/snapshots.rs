//! What one small room looks like in every shape.

use crate::jobs::{proved, read};
use expect_test::expect;

/// A den under one slope, with a picture, a lamp that is not measured, and a chair.
const DEN: &str = r#"
format = 1
job = { name = "Den", units = "imperial", revision = 3 }
survey = { by = "laser" }

[[space]]
id = "den"
name = "Den"
walls = [
  { id = "front", length = "12' 0\"" },
  { id = "garden", length = "10' 0\"" },
  { id = "back", length = "12' 0\"" },
  { id = "lane", length = "10' 0\"" },
]
diagonals = [["front.left", "back.left", "15' 7 1/2\""]]
ceiling = { shape = "shed", low = "back", eaves = "7' 0\"", top = "9' 0\"" }
first_wall_faces = "40 deg"

[[space.opening]]
id = "door"
kind = "door"
on = { wall = "lane", from_left = "1' 0\"", height = "0" }
size = ["2' 8\"", "6' 6\""]
swing = { hinge = "left", into = "room" }

[[space.fixture]]
id = "lamp"
kind = "wall-light"
on = { wall = "front", from_left = "2' 0\"", height = "?" }
size = ["4\"", "8\"", "4\""]

[[space.construction]]
of = "front"
framing = "stud"
spacing = "4' 0\""
first_from_left = "2' 0\""
fire_block_at = ["4' 0\""]

[[space.seat]]
id = "chair"
at = { from = ["front", "8' 0\""], and = ["lane", "6' 0\""] }
eye = "42\""

[[kit.display]]
id = "display-d48"
name = "Display D48"
diagonal = "48\""
size = ["42\"", "24\"", "2\""]

[[item]]
id = "tv"
is = "display-d48"
name = "Display"
space = "den"
on = { wall = "front", from_left = "6' 0\"", height = "4' 0\"" }
"#;

/// JSON a line for each part, short enough to read.
fn told(value: &impl serde::Serialize) -> String {
    let value = serde_json::to_value(value).expect("keys are texts");
    let mut lines = String::new();
    for (key, part) in value.as_object().expect("a table") {
        match part {
            serde_json::Value::Array(parts) if parts.iter().any(serde_json::Value::is_object) => {
                lines += &format!("{key}:\n");
                for part in parts {
                    lines += &format!("  {part}\n");
                }
            }
            part => lines += &format!("{key}: {part}\n"),
        }
    }
    lines.replace('\u{202f}', " ")
}

#[test]
fn a_scene() {
    let proved = proved(&read(DEN));
    let findings: Vec<_> = proved.findings().collect();
    let mut scene = view::scene(proved.analysis(), &findings, "den").expect("the den");
    for body in &mut scene.bodies {
        // Fields have a snapshot of their own.
        body.fields.clear();
    }
    expect![[r#"
        space: "den"
        name: "Den"
        kind: "room"
        units: "imperial"
        floor: [[0.0,0.0],[3.65761,0.0],[3.65934,-3.04801],[0.00173,-3.04801]]
        bounds: {"min":[0.0,-3.04801],"max":[3.65934,0.0]}
        north_rad: -0.6981317007977318
        height_m: 2.7432
        closed: true
        gap_text: null
        walls:
          {"id":"front","name":"Front","from":[0.0,0.0],"to":[3.65761,0.0],"length_m":3.65761,"length_text":"12′ 0″","doubtful":false,"open":false,"faces_text":"faces north-east, 40°","top":[[0.0,2.7432],[3.65761,2.7432]],"studs":[{"centre_m":0.6096,"width_m":0.038},{"centre_m":1.8288,"width_m":0.038},{"centre_m":3.048,"width_m":0.038}],"blocks":[{"height_m":1.2192,"from_m":0.0,"to_m":3.65761}],"framing_text":"Wood studs every 4′ 0″, the first 2′ 0″ from the left corner. Blocks at 4′ 0″. Find each one before drilling.","snaps":[{"along_m":0.6096,"height_m":null,"why":"Stud","of":[]},{"along_m":1.8288,"height_m":null,"why":"Stud","of":[]},{"along_m":3.048,"height_m":null,"why":"Stud","of":[]},{"along_m":1.82881,"height_m":null,"why":"Middle of the wall","of":[]},{"along_m":1.8288,"height_m":null,"why":"Middle of the picture, Display","of":["item:tv"]},{"along_m":null,"height_m":1.2192,"why":"Middle of the picture, Display","of":["item:tv"]},{"along_m":1.83018,"height_m":null,"why":"In line with row 1","of":["seat:chair"]},{"along_m":null,"height_m":1.0668,"why":"Eye height","of":["seat:chair"]}]}
          {"id":"garden","name":"Garden","from":[3.65761,0.0],"to":[3.65934,-3.04801],"length_m":3.04801,"length_text":"10′ 0″","doubtful":false,"open":false,"faces_text":"faces south-east, 130°","top":[[0.0,2.7432],[3.04801,2.1336]],"studs":[],"blocks":[],"framing_text":"What is inside this wall is not known: look before cutting.","snaps":[{"along_m":1.52401,"height_m":null,"why":"Middle of the wall","of":[]},{"along_m":2.43736,"height_m":null,"why":"In line with row 1","of":["seat:chair"]},{"along_m":null,"height_m":1.0668,"why":"Eye height","of":["seat:chair"]}]}
          {"id":"back","name":"Back","from":[3.65934,-3.04801],"to":[0.00173,-3.04801],"length_m":3.65761,"length_text":"12′ 0″","doubtful":false,"open":false,"faces_text":"faces south-west, 220°","top":[[0.0,2.1336],[3.65761,2.1336]],"studs":[],"blocks":[],"framing_text":"What is inside this wall is not known: look before cutting.","snaps":[{"along_m":1.82881,"height_m":null,"why":"Middle of the wall","of":[]},{"along_m":1.82916,"height_m":null,"why":"In line with row 1","of":["seat:chair"]},{"along_m":null,"height_m":1.0668,"why":"Eye height","of":["seat:chair"]}]}
          {"id":"lane","name":"Lane","from":[0.00173,-3.04801],"to":[0.0,0.0],"length_m":3.04801,"length_text":"10′ 0″","doubtful":false,"open":false,"faces_text":"faces north-west, 310°","top":[[0.0,2.1336],[3.04801,2.7432]],"studs":[],"blocks":[],"framing_text":"What is inside this wall is not known: look before cutting.","snaps":[{"along_m":1.52401,"height_m":null,"why":"Middle of the wall","of":[]},{"along_m":0.7112,"height_m":null,"why":"Middle of Door","of":["opening:door"]},{"along_m":0.60857,"height_m":null,"why":"In line with row 1","of":["seat:chair"]},{"along_m":null,"height_m":1.0668,"why":"Eye height","of":["seat:chair"]}]}
        ceiling: {"shape":"shed","planes":[[[0.0,0.0,2.7432],[0.00173,-3.04801,2.1336],[3.65934,-3.04801,2.1336],[3.65761,0.0,2.7432]]],"known":true,"words":"One slope, 7′ 0″ at its lowest, 9′ 0″ at its highest.","joists":[],"snaps":[{"x":1.82967,"y":null,"why":"Middle of the room","of":[]},{"x":null,"y":-1.52401,"why":"Middle of the room","of":[]},{"x":1.83018,"y":null,"why":"Middle of Seat chair","of":["seat:chair"]},{"x":null,"y":-2.4384,"why":"Middle of Seat chair","of":["seat:chair"]},{"x":1.8288,"y":null,"why":"Middle of the picture, Display","of":["item:tv"]}]}
        soffits: []
        bodies:
          {"id":"opening:door","at":"space.den.opening.door","kind":"opening","is":"door","label":"Door","says":"Door, on wall lane, left edge 1′ 0″ from left, 2′ 8″ wide, 6′ 6″ high","existing":true,"place":"wall","wall":"lane","on_wall":{"left":0.3048,"right":1.1176,"bottom":0.0,"top":1.9812,"out":0.0},"outline":[[0.00156,-2.74321],[0.0011,-1.93041],[-0.0989,-1.93047],[-0.09844,-2.74327]],"centre":[0.00133,-2.33681],"bottom_m":0.0,"top_m":1.9812,"moves":"wall","doors":{"swing":[[0.00156,-2.74321],[0.0011,-1.93041],[0.10719,-1.9373],[0.21148,-1.95798],[0.31218,-1.9921],[0.40756,-2.03907],[0.49599,-2.09809],[0.57597,-2.16815],[0.64611,-2.24804],[0.70523,-2.33641],[0.75231,-2.43174],[0.78654,-2.5324],[0.80734,-2.63666],[0.81436,-2.74275]]},"aim":null,"fields":[],"missing":null}
          {"id":"fixture:lamp","at":"space.den.fixture.lamp","kind":"fixture","is":"wall-light","label":"Lamp","says":"Lamp, on wall front, its place still to measure","existing":true,"place":"wall","wall":"front","on_wall":null,"outline":[[0.5588,0.0],[0.6604,0.0],[0.6604,-0.1016],[0.5588,-0.1016]],"centre":[0.6096,-0.0508],"bottom_m":null,"top_m":null,"moves":"wall","doors":null,"aim":null,"fields":[],"missing":"needs how high Lamp is above the floor"}
          {"id":"seat:chair","at":"space.den.seat.chair","kind":"seat","is":"seat","label":"Seat chair","says":"Seat chair, 8′ 0″ off wall front, 6′ 0″ off wall lane, eyes 3′ 6″ high","existing":true,"place":"floor","wall":null,"on_wall":null,"outline":[[1.58018,-2.1884],[2.08018,-2.1884],[2.08018,-2.6884],[1.58018,-2.6884]],"centre":[1.83018,-2.4384],"bottom_m":0.0,"top_m":1.0668,"moves":"floor","doors":null,"aim":[-0.00058,1.0,0.0],"fields":[],"missing":null}
          {"id":"item:tv","at":"item.tv","kind":"item","is":"display","label":"Display","says":"Display, on wall front, 6′ 0″ from left, 4′ 0″ high","existing":false,"place":"wall","wall":"front","on_wall":{"left":1.2954,"right":2.3622,"bottom":0.9144,"top":1.524,"out":0.0508},"outline":[[1.2954,0.0],[2.3622,0.0],[2.3622,-0.0508],[1.2954,-0.0508]],"centre":[1.8288,-0.0254],"bottom_m":0.9144,"top_m":1.524,"moves":"wall","doors":null,"aim":[0.0,-1.0,0.0],"fields":[],"missing":null}
        overlays: {"sight_lines":[{"seat":"seat:chair","item":"item:tv","from":[1.83018,-2.4384,1.0668],"to":[1.8288,-0.0508,1.2192]}],"beams":[],"cones":[],"routes":[]}
    "#]].assert_eq(&told(&scene));
}

#[test]
fn the_fields_of_a_lamp() {
    let proved = proved(&read(DEN));
    let findings: Vec<_> = proved.findings().collect();
    let scene = view::scene(proved.analysis(), &findings, "den").expect("the den");
    let lamp = scene
        .bodies
        .iter()
        .find(|body| body.id == "fixture:lamp")
        .expect("the lamp");
    let mut lines = String::new();
    for field in &lamp.fields {
        let mut field = field.clone();
        if let Some(choices) = &mut field.choices {
            choices.truncate(2);
        }
        lines += &format!(
            "{}\n",
            serde_json::to_string(&field).expect("keys are texts")
        );
    }
    expect![[r#"
        {"at":"space.den.fixture.lamp.kind","label":"What it is","kind":"choice","text":"wall-light","unit":null,"choices":[{"value":"wall-light","label":"Wall light"},{"value":"ceiling-light","label":"Ceiling light"}],"help":"What it is.","blocks":0}
        {"at":"space.den.fixture.lamp.on.wall","label":"Wall","kind":"choice","text":"front","unit":null,"choices":[{"value":"front","label":"Front"},{"value":"garden","label":"Garden"}],"help":"The wall's name.","blocks":0}
        {"at":"space.den.fixture.lamp.on.from_left","label":"From the left corner","kind":"length","text":"2' 0\"","unit":null,"choices":null,"help":"From the wall's left corner, seen from inside.","blocks":0}
        {"at":"space.den.fixture.lamp.on.height","label":"Height above the floor","kind":"length","text":null,"unit":null,"choices":null,"help":"From the finished floor.","blocks":1}
        {"at":"space.den.fixture.lamp.on.to","label":"Measured to","kind":"choice","text":null,"unit":null,"choices":[{"value":"centre","label":"Centre"},{"value":"bottom-centre","label":"Bottom centre"}],"help":"Which point of the thing was measured to. Openings: lower-left when left out; everything else: centre.","blocks":0}
        {"at":"space.den.fixture.lamp.size.0","label":"Width","kind":"length","text":"4\"","unit":null,"choices":null,"help":"Across, up, and out of the wall. Standing or hanging things: across along the first wall named, up, and across the other way.","blocks":0}
        {"at":"space.den.fixture.lamp.size.1","label":"Height","kind":"length","text":"8\"","unit":null,"choices":null,"help":"Across, up, and out of the wall. Standing or hanging things: across along the first wall named, up, and across the other way.","blocks":0}
        {"at":"space.den.fixture.lamp.size.2","label":"Depth","kind":"length","text":"4\"","unit":null,"choices":null,"help":"Across, up, and out of the wall. Standing or hanging things: across along the first wall named, up, and across the other way.","blocks":0}
        {"at":"space.den.fixture.lamp.note","label":"Note","kind":"text","text":null,"unit":null,"choices":null,"help":"A note for the crew.","blocks":0}
    "#]].assert_eq(&lines);
}

#[test]
fn a_finding() {
    let proved = proved(&read(DEN));
    let about_picture = |finding: &&checks::Finding| finding.check == "picture-angle";
    let finding = proved
        .findings()
        .find(about_picture)
        .expect("a picture and a seat");
    expect![[r#"
        key: "picture-angle~den~chair"
        check: "picture-angle"
        area: "picture"
        title: "Picture angle"
        subject: {"id":"chair","label":"seat chair"}
        space: "den"
        about: ["seat:chair"]
        value: 0.43706284824856984
        limit: 0.3490658503988659
        unit: "rad"
        margin: 0.08799699784970394
        uncertainty: 0.0005307690559149499
        value_text: "25.0°"
        limit_text: "20°"
        margin_text: "+5.0°"
        uncertainty_text: "±0.1°"
        bar: {"margin":0.08799699784970394,"uncertainty":0.0005307690559149499,"scale":0.1}
        verdict: "fits"
        because: "From seat chair, 7′ 10 1/4″ away, the picture of Display fills 25.0° from side to side; between 20° and 60° is wanted."
        source: "common practice, no source"
        needs: []
        deciders: []
        inputs:
          {"what":"Distance from the first wall of seat chair in Den","at":"space.den.seat.chair.at.from.1","text":"8' 0\"","how":"laser","share":0.9959385197348001}
          {"what":"Distance from the second wall of seat chair in Den","at":"space.den.seat.chair.at.and.1","text":"6' 0\"","how":"laser","share":null}
          {"what":"Eye height of seat chair in Den","at":"space.den.seat.chair.eye","text":"42\"","how":"laser","share":null}
        remedies: []
        cautions: []
    "#]].assert_eq(&told(&view::finding(proved.analysis(), finding)));
}

#[test]
fn a_manual() {
    let check = checks::find("throw-ratio").expect("a check of that name");
    expect![[r#"
        id: "throw-ratio"
        area: "picture"
        title: "Throw ratio"
        proves: "The distance from the lens to the screen, over the picture's width, lies within the zoom's range."
        matters: "Too near, the picture does not fill the screen; too far, it spills over the frame. Neither can be mended on the ladder."
        formula: "TR = D / w; D: square distance from the front of the lens (not the case) to the picture, m; w: picture width, m. A lens without zoom may stand off by half a per cent. Valid for flat screens square to the lens axis."
        source: {"words":"the maker's spec sheet","mark":"spec-sheet"}
        when_it_fails: "Move the projector along its axis, choose another picture width, or a lens with another zoom."
        published:
          {"cite":"throw ratio of 3.000 m on a 2.2138 m wide picture: D / w (computed)","expected":1.35513,"computed":1.3551359653085193,"tolerance":0.00005,"unit":"1","holds":true}
        limits: []
    "#]].assert_eq(&told(&view::manual(check)));
}

#[test]
fn the_schema_of_a_move() {
    let schema = schemars::schema_for!(view::Move);
    expect![[r#"
        {
          "$schema": "https://json-schema.org/draft/2020-12/schema",
          "title": "Move",
          "description": "A body's middle, moved.",
          "type": "object",
          "properties": {
            "of": {
              "description": "The body's id in its scene.",
              "type": "string"
            },
            "space": {
              "description": "The space whose scene it is; may be left out for items, and where the id is of one\nspace only.",
              "type": [
                "string",
                "null"
              ],
              "default": null
            }
          },
          "required": [
            "of"
          ],
          "anyOf": [
            {
              "description": "On a wall.",
              "type": "object",
              "properties": {
                "wall": {
                  "description": "The wall's name.",
                  "type": "string"
                },
                "along_m": {
                  "description": "From the wall's left corner, seen from inside, m.",
                  "type": "number",
                  "format": "double"
                },
                "height_m": {
                  "description": "Above the floor, m.",
                  "type": "number",
                  "format": "double"
                }
              },
              "required": [
                "wall",
                "along_m",
                "height_m"
              ]
            },
            {
              "description": "In plan.",
              "type": "object",
              "properties": {
                "x": {
                  "description": "Along the first wall, m.",
                  "type": "number",
                  "format": "double"
                },
                "y": {
                  "description": "Square to that, m.",
                  "type": "number",
                  "format": "double"
                },
                "height_m": {
                  "description": "Above the floor, m; as it is when left out.",
                  "type": [
                    "number",
                    "null"
                  ],
                  "format": "double",
                  "default": null
                }
              },
              "required": [
                "x",
                "y"
              ]
            }
          ]
        }
    "#]].assert_eq(&view::text(&schema));
}
