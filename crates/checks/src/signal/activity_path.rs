//! Is there a way for picture and sound of each thing that people want to do?

use analysis::{Analysis, Known, Means, Missing, Source, item_label};
use model::{CableUse, Item, PortKind};

use crate::hops::{Hop, Use, further_lead};
use crate::playing::Playing;
use crate::whole::complete;
use crate::{Area, Check, Finding, Outcome, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "activity-path",
    area: Area::Signal,
    proves: "Each activity has a lead for every step of its picture and its sound, and each of its zones something that drives it.",
    matters: "One lead forgotten, and the button for it starts a dark screen or a silent terrace, found when the walls are closed.",
    formula: "n = N; N: steps from thing to thing of the picture's and the sound's way, and zones; n: steps that have a lead which carries them that way, and zones that a thing on the sound's way drives, or feeds the amplifier of. A further amplifier that loudspeakers of a zone name is a step from the sound's way to it. Sound may go back through a display's lead; what it then carries is another check's question.",
    source: Source::Derived {
        from: "the leads, ports and zones of the job",
    },
    when_it_fails: "Lay the lead that is missing, or send the activity by a way that is there.",
    limits: &[],
    published: &[],
    run: Run::House(run),
};

fn run(analysis: &Analysis) -> Vec<Finding> {
    let all = Playing::all(analysis).into_iter();
    all.map(|(activity, playing)| {
        let subject = Subject::new(format!("activity.{}", activity.id), activity.label());
        CHECK.about_house(subject, || decide(analysis, &playing?))
    })
    .collect()
}

fn decide<'a>(analysis: &'a Analysis, playing: &Playing<'a>) -> Known<Outcome> {
    let label = playing.activity.label();
    if playing.devices(analysis).len() < 2 && playing.zones.is_empty() {
        return Err(Missing::new(
            format!("what {label} plays, and where"),
            format!("activity.{}.sound", playing.activity.id),
            Means::Decide,
        ));
    }
    let picture = playing.picture_hops(analysis);
    let sound = playing.sound_hops(analysis);
    let feeding = playing.feeding_hops(analysis);
    let mut lacking: Vec<String> = Vec::new();
    let mut gaps: Vec<(&Hop, Use)> = Vec::new();
    let mut wanted = playing.zones.len();
    for (hops, what, word) in [
        (&picture, Use::Picture, "picture"),
        (&sound, Use::Sound, "sound"),
        (&feeding, Use::Sound, "sound"),
    ] {
        wanted += hops.len();
        for hop in hops.iter().filter(|hop| hop.lead.is_none()) {
            let [from, to] = [hop.from, hop.to].map(item_label);
            lacking.push(format!("no lead takes the {word} from {from} to {to}"));
            gaps.push((hop, what));
        }
    }
    let silent: Vec<&str> = (playing.zones.iter())
        .filter(|zone| playing.driver_of(analysis, zone).is_none())
        .map(|zone| zone.name.as_deref().unwrap_or(&zone.id))
        .collect();
    lacking.extend((silent.iter()).map(|zone| format!("nothing on its way drives {zone}")));
    let joined = |row: &[&Item], by: &str| {
        let names: Vec<&str> = row.iter().map(|item| item_label(item)).collect();
        names.join(by)
    };
    let names = |row: &[&Item]| joined(row, " → ");
    let fed: Vec<&Item> = feeding.iter().map(|hop| hop.to).collect();
    let sound_goes = match fed.is_empty() {
        true => names(&playing.sound),
        false => format!("{} and on to {}", names(&playing.sound), joined(&fed, ", ")),
    };
    let sentence = match (lacking.is_empty(), playing.picture.is_empty()) {
        (false, _) => format!("{label}: {}.", lacking.join("; ")),
        (true, true) => format!("{label}: its sound goes {sound_goes}."),
        (true, false) => format!(
            "{label}: its picture goes {}, its sound {sound_goes}.",
            names(&playing.picture),
        ),
    };
    let outcome = complete(wanted - lacking.len(), wanted, CHECK.source.clone());
    let remedy = match silent.is_empty() {
        true => leads(analysis, &gaps),
        false => None,
    };
    Ok(outcome.because(sentence).remedy(remedy))
}

/// A lead for each gap; a gap of picture and sound alike needs one.
fn leads(analysis: &Analysis, gaps: &[(&Hop, Use)]) -> Option<Remedy> {
    let (hop, what) = gaps.first()?;
    let same = |other: &Hop| other.from.id == hop.from.id && other.to.id == hop.to.id;
    if gaps.iter().any(|(other, _)| !same(other)) {
        // Two leads would both be the first new one: one remedy for one lead.
        return None;
    }
    let is_video = *what == Use::Picture || {
        let takes = |item: &Item| match analysis.kit_of(item) {
            Some(kit) => (kit.common().port.iter()).any(|port| port.kind == PortKind::Video),
            None => false,
        };
        takes(hop.from) && takes(hop.to)
    };
    let ends = [hop.from, hop.to];
    let (says, edit) = match is_video {
        true => further_lead(analysis, ends, CableUse::Video, PortKind::Video, |_| true),
        false => further_lead(analysis, ends, CableUse::Line, PortKind::Line, |_| true),
    }?;
    Some(Remedy::new(format!("Lay a {says}."), vec![edit]))
}

/// A player, a receiver and a display with two zones, for tests of activities.
#[cfg(test)]
pub(super) fn house(more: &str) -> String {
    format!(
        r#"
[[kit.device]]
id = "player-d1"
port = [{{ id = "out", kind = "video", direction = "out", count = 2 }}, {{ id = "line", kind = "line", direction = "out" }}]
[[kit.amplifier]]
id = "receiver-a7"
channels = 7
zones = 1
port = [
  {{ id = "in", kind = "video", direction = "in", count = 2 }},
  {{ id = "out", kind = "video", direction = "out", returns = "plain" }},
  {{ id = "line-in", kind = "line", direction = "in" }},
  {{ id = "zone", kind = "line", direction = "out" }},
]
[[kit.amplifier]]
id = "amp-a2"
channels = 2
[[kit.display]]
id = "display-t4"
port = [{{ id = "in", kind = "video", direction = "in", count = 2, returns = "enhanced" }}]
[[kit.loudspeaker]]
id = "speaker-l1"
[[kit.cable]]
id = "video-v1"
name = "video lead"
carries = "video"
[[kit.cable]]
id = "line-l1"
name = "line lead"
carries = "line"
[[item]]
id = "player"
is = "player-d1"
[[item]]
id = "receiver"
is = "receiver-a7"
[[item]]
id = "amp"
is = "amp-a2"
[[item]]
id = "tv"
is = "display-t4"
[[item]]
id = "front"
is = "speaker-l1"
zone = "film"
[[item]]
id = "cook"
is = "speaker-l1"
zone = "kitchen"
[[zone]]
id = "film"
space = "den"
amplifiers = ["receiver"]
[[zone]]
id = "kitchen"
space = "den"
amplifiers = ["amp"]
[[signal]]
id = "movie"
through = ["player", "receiver", "tv"]
format = "1920x1080p60"
[[cable]]
id = "A"
kind = "video-v1"
from = "player.out-1"
to = "receiver.in-1"
[[activity]]
id = "watch"
name = "Watch a film"
zones = ["film"]
picture = "movie"
{more}"#
    )
}

/// The lead that the house of the tests lacks.
#[cfg(test)]
pub(super) const TO_TV: &str =
    "[[cable]]\nid = \"B\"\nkind = \"video-v1\"\nfrom = \"receiver.out\"\nto = \"tv.in-1\"\n";

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::{CHECK, TO_TV, house};
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    #[test]
    fn with_all_leads_it_plays() {
        expect![[r#"
            Watch a film: fits +0.500: Watch a film: its picture goes player → receiver → tv, its sound player → receiver.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &house(TO_TV))));
    }

    #[test]
    fn a_lead_that_is_missing_is_named_and_can_be_laid() {
        let text = house("");
        let found = findings(&CHECK, &text);
        expect![[r#"
            Watch a film: fails -1.000: Watch a film: no lead takes the picture from receiver to tv.
        "#]]
        .assert_eq(&told(&found));
        let remedy = &found[0].remedies[0];
        assert_eq!(
            remedy.says,
            "Lay a video lead from receiver.out to tv.in-1."
        );
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_zone_that_nothing_drives_stays_silent() {
        let listen = "[[activity]]\nid = \"listen\"\nzones = [\"kitchen\"]\nsound = [\"player\", \"receiver\"]\n";
        let found = findings(&CHECK, &house(&format!("{TO_TV}{listen}")));
        assert_eq!(
            found[1].because,
            "listen: nothing on its way drives kitchen."
        );
        let fed =
            "[[cable]]\nid = \"C\"\nkind = \"line-l1\"\nfrom = \"receiver.zone\"\nto = \"amp\"\n";
        let found = findings(&CHECK, &house(&format!("{TO_TV}{listen}{fed}")));
        assert_eq!(found[1].verdict, Verdict::Fits);
    }

    #[test]
    fn an_amplifier_that_loudspeakers_name_is_fed_too() {
        let rear =
            "[[item]]\nid = \"rear\"\nis = \"speaker-l1\"\nzone = \"film\"\ndriven_by = \"amp\"\n";
        let text = house(&format!("{TO_TV}{rear}"));
        let found = findings(&CHECK, &text);
        expect![[r#"
            Watch a film: fails -1.000: Watch a film: no lead takes the sound from receiver to amp.
        "#]]
        .assert_eq(&told(&found));
        let remedy = &found[0].remedies[0];
        assert_eq!(remedy.says, "Lay a line lead from receiver.zone to amp.");
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
        // A trigger's wire feeds nothing.
        let trigger = "[[kit.cable]]\nid = \"trigger-w2\"\ncarries = \"control\"\n[[cable]]\nid = \"T\"\nkind = \"trigger-w2\"\nfrom = \"receiver\"\nto = \"amp\"\n";
        let found = findings(&CHECK, &house(&format!("{TO_TV}{rear}{trigger}")));
        assert_eq!(found[0].verdict, Verdict::Fails);
    }

    #[test]
    fn what_is_not_decided_is_asked() {
        let listen = "[[activity]]\nid = \"listen\"\nzones = [\"kitchen\"]\n";
        let found = findings(&CHECK, &house(&format!("{TO_TV}{listen}")));
        assert_eq!(found[1].needs[0].at, "activity.listen.sound");
    }
}
