//! A face of which nobody says from which side it is drawn.

use super::{Check, Finding, Level, Mend, Out};
use crate::{
    analysis::Snapshot,
    model::{Connector, Decision, Kind, face::Face},
};

pub(super) static CHECK: Check = Check {
    name: "view-not-stated",
    what: "every connector that gets wires says from which side its face is drawn",
    inputs: "the face line of each connector",
    source: "common practice, no source: harness makers call a cavity map without its side unfinished",
    rests_on: &[(Kind::Connector, &["face"])],
    reads: &[(Kind::Connector, &["face"])],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for connector in book.all::<Connector>().values() {
        let cavities = book.cavities_of(connector.id);
        let wired = cavities.iter().any(|c| c.decision == Decision::Wired);
        // With a single cavity nothing can be mirrored.
        if !wired || cavities.len() < 2 {
            continue;
        }
        let what = match Face::parse(&connector.face) {
            Ok(face) if face.seen_from.is_some() => continue,
            Ok(_) => "its face does not say whether it is seen from the mating or the wire side",
            Err(_) => "its face is not described",
        };
        let sentence = format!("{}: {what}.", connector.label);
        out.find(
            Finding::new(CHECK.name, Level::Warning, connector.id, sentence)
                .matters("A mirrored map puts every wire into the wrong hole; a symmetric housing accepts all of them.")
                .mend(Mend::words("look at the plug and the manual, and add `seen from mating side` or `seen from wire side`"))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn found(face: &str, wired: bool) -> Vec<String> {
        let mut bench = Bench::new();
        let connector = bench.connector("DN-A");
        bench.edit(connector, |c: &mut Connector| c.face = face.to_owned());
        bench.cavity("DN-A", "2");
        bench.cavity("DN-A", "1");
        if wired {
            bench.wire("W29", "DN-A1", "G1", 1.0, 0.7);
        }
        let report = run_without_mends(&bench.snapshot());
        report.of("view-not-stated").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn the_side_has_to_be_said() {
        let open = found("rows 2, from upper left", true);
        assert_eq!(
            open,
            ["DN-A: its face does not say whether it is seen from the mating or the wire side."]
        );
        assert_eq!(found("", true), ["DN-A: its face is not described."]);
        assert_eq!(
            found("rows 2, from upper left, seen from mating side", true),
            [""; 0]
        );
        assert_eq!(found("", false), [""; 0], "no wire goes there");
    }
}
