//! Can people do two things at once that they want to do at once?

use analysis::{Analysis, Known, Source};

use crate::playing::Playing;
use crate::whole::counted;
use crate::{Area, Check, Finding, Outcome, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "activities-together",
    area: Area::Signal,
    proves: "Activities that people want at the same time share no zone, no source, and no device that would have to take two inputs.",
    matters: "Music on the terrace stops when somebody starts a film, and the house calls the crew back.",
    formula: "k = 0; k: zones in which both play, sources from which both play, and devices that both set to different inputs. A receiver that plays two zones or more apart may take an input for each.",
    source: Source::Derived {
        from: "the ways of both activities",
    },
    when_it_fails: "Give one of them a source of its own, or a receiver that plays more zones apart.",
    limits: &[],
    published: &[],
    run: Run::House(run),
};

fn run(analysis: &Analysis) -> Vec<Finding> {
    let all = Playing::all(analysis);
    let mut findings = Vec::new();
    for (index, (activity, one)) in all.iter().enumerate() {
        for (further, (other, two)) in all.iter().enumerate().skip(index + 1) {
            let wanted =
                activity.together.contains(&other.id) || other.together.contains(&activity.id);
            if !wanted || further == index {
                continue;
            }
            let subject = Subject::new(
                format!("activity.{}+activity.{}", activity.id, other.id),
                format!("{} and {}", activity.label(), other.label()),
            );
            findings.push(CHECK.about_house(subject, || decide(analysis, [one, two])));
        }
    }
    findings
}

fn decide(analysis: &Analysis, both: [&Known<Playing>; 2]) -> Known<Outcome> {
    let [one, other] = both.map(|playing| playing.as_ref().map_err(Clone::clone));
    let (one, other) = (one?, other?);
    let conflicts = one.conflicts(analysis, other);
    let labels = [one, other].map(|playing| playing.activity.label());
    let sentence = match conflicts.is_empty() {
        true => format!(
            "{} and {} get in each other's way nowhere.",
            labels[0], labels[1]
        ),
        false => format!(
            "{} and {} can't be had at once: {}.",
            labels[0],
            labels[1],
            conflicts.join("; ")
        ),
    };
    Ok(counted(conflicts.len(), 0, CHECK.source.clone()).because(sentence))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::super::activity_path::{TO_TV, house};
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    const FED: &str =
        "[[cable]]\nid = \"C\"\nkind = \"line-l1\"\nfrom = \"receiver.zone\"\nto = \"amp\"\n";

    fn listen(source: &str) -> String {
        format!(
            "[[item]]\nid = \"radio\"\nis = \"player-d1\"\n[[cable]]\nid = \"D\"\nkind = \"line-l1\"\nfrom = \"radio.line\"\nto = \"receiver.line-in\"\n[[activity]]\nid = \"listen\"\nzones = [\"kitchen\"]\nsound = [\"{source}\", \"receiver\"]\ntogether = [\"watch\"]\n"
        )
    }

    #[test]
    fn one_source_plays_one_thing() {
        let found = findings(&CHECK, &house(&format!("{TO_TV}{FED}{}", listen("player"))));
        expect![[r#"
            Watch a film and listen: fails -1.000: Watch a film and listen can't be had at once: both play from player.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn a_receiver_takes_one_input_for_each_zone_that_it_plays_apart() {
        let text = house(&format!("{TO_TV}{FED}{}", listen("radio")));
        let found = findings(&CHECK, &text);
        expect![[r#"
            Watch a film and listen: fails -1.000: Watch a film and listen can't be had at once: receiver would have to be set to in-1 and to line-in.
        "#]]
        .assert_eq(&told(&found));
        let apart = findings(&CHECK, &text.replace("zones = 1", "zones = 2"));
        assert_eq!(apart[0].verdict, Verdict::Fits);
    }

    #[test]
    fn nobody_wants_them_at_once_and_nothing_is_said() {
        let text = house(TO_TV)
            + "[[activity]]\nid = \"listen\"\nzones = [\"film\"]\nsound = [\"player\", \"receiver\"]\n";
        assert!(findings(&CHECK, &text).is_empty());
    }
}
